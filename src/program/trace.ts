/**
 * Blocks → what the machine does, in order. Keeps the modal state (units, G90/G91, motion, G41/G42 and D) and tells of
 * everything a control would refuse or could take in two ways. Never guesses silently.
 */
import { cappedFindings } from "../base/finding.js";
import { foldedByCause } from "../base/folded.js";
import { eventTable } from "./block-words.js";
import type { ProgramText } from "./moves.js";
import { type Block, readBlocks } from "./read.js";
import { AS_WRITTEN, type Reading } from "./reading.js";
import { runBlock } from "./trace-block.js";
import type { Trace } from "./trace-state.js";
import type { WordTable } from "./words.js";

/** Reads a whole program: text in, what it says out. */
export function readProgram(
  text: string,
  words: WordTable,
  reading: Reading = AS_WRITTEN,
): ProgramText {
  const { blocks, findings } = readBlocks(text, reading);
  const first = traceBlocks(blocks, words, "from-start", reading);
  // One such arc may be chance; where most are, they are meant.
  const { centred, misplaced } = first.trace;
  const { program } =
    misplaced > 1 && misplaced > centred / 2
      ? traceBlocks(blocks, words, "themselves", reading)
      : first;
  return {
    ...program,
    findings: cappedFindings(
      foldedByCause([...findings, ...program.findings]),
      MOST_OF_A_CODE,
    ),
  };
}

/** What the blocks tell the machine to do. Lengths come out in mm, absolute. */
function traceBlocks(
  blocks: readonly Block[],
  words: WordTable,
  centres: Trace["centres"],
  reading: Reading,
): { readonly program: ProgramText; readonly trace: Trace } {
  const trace: Trace = {
    actions: [],
    findings: [],
    state: {
      units: reading.units ?? "mm",
      unitsSaid: reading.units !== undefined,
      beforeUnits: null,
      absolute: true,
      absoluteSaid: false,
      motion: null,
      x: null,
      y: null,
      datum: null,
      side: null,
      register: null,
      registerUsed: false,
      above: [],
      ended: false,
      feedColumn: 1,
    },
    centres,
    reading,
    centred: 0,
    misplaced: 0,
    bare: 0,
    firstBare: "",
  };
  const counts: Record<string, number> = {};
  const known = eventTable(
    reading.sidesExchanged
      ? {
          ...words,
          compensationLeft: words.compensationRight,
          compensationRight: words.compensationLeft,
        }
      : words,
  );
  let spoken = 0;
  for (const block of blocks) {
    if (block.words.length === 0) {
      trace.state.above.push(...block.comments.map((c) => c.text));
      continue;
    }
    spoken++;
    for (const w of block.words)
      if (w.letter === "G" || w.letter === "M") {
        const name = `${w.letter}${w.digits.replace(/^\+/, "").padStart(2, "0")}`;
        counts[name] = (counts[name] ?? 0) + 1;
      }
    runBlock(block, known, trace);
    trace.state.above = [];
  }
  closingFindings(trace);
  const program = {
    units: trace.state.units,
    actions: trace.actions,
    blocks: spoken,
    words: Object.fromEntries(
      Object.entries(counts).sort(([a], [b]) => (a < b ? -1 : 1)),
    ),
    findings: trace.findings,
  };
  return { program, trace };
}

function closingFindings(trace: Trace): void {
  const { state, findings } = trace;
  if (!state.unitsSaid)
    findings.push({
      code: "program/no-units",
      severity: "warning",
      message:
        "the program says neither G70 nor G71: read as mm, but a control may stand on inches; say which",
    });
  else if (state.beforeUnits !== null)
    findings.push({
      code: "program/units-late",
      severity: "warning",
      message: `line ${state.beforeUnits}: coordinates stand before G70 or G71: read as mm, but a control may stand on inches; say which first`,
    });
  if (!state.absoluteSaid)
    findings.push({
      code: "program/no-absolute",
      severity: "note",
      message:
        "the program says neither G90 nor G91: read as G90, absolute coordinates",
    });
  if (trace.bare > 0)
    findings.push({
      code: "program/no-decimal-point",
      severity: "warning",
      message: `${trace.bare} coordinates have no decimal point (first: ${trace.firstBare}); read as whole units, but some controls count them in least increments: write the point`,
    });
  if (!state.ended)
    findings.push({
      code: "program/no-end",
      severity: "error",
      message:
        "the program has no end (M30): the file may be cut off; check its last lines",
    });
}

/** Findings of one code beyond this are counted, not listed. */
const MOST_OF_A_CODE = 20;

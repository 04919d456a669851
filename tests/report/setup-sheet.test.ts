import { describe, expect, it } from "vitest";
import type { Proof } from "../../src/proof/proof.js";
import { setupSheet } from "../../src/report/setup-sheet.js";
import { BLOCK, handPlan, WINDOW } from "../helpers/hand-plan.js";
import { tagsOf, textOf } from "../helpers/markup.js";

const PROOF: Proof = {
  ok: true,
  maxGouge: 0.000121,
  maxExcess: 0.0002,
  coverage: 0.99999,
  passes: [],
  loosePieces: [
    { feature: "opening-1", attended: true, line: 40, mass: 0.039, at: [0, 0] },
  ],
  words: { G01: 20, M00: 2 },
  gougeAt: null,
  excessAt: null,
  unreached: [],
  corners: null,
  threadPlaces: [],
  blocks: 60,
  findings: [],
};

/** Text with its white space drawn together. */
const plainText = (html: string): string => textOf(html).replace(/\s+/g, " ");

describe("the setup sheet", () => {
  const plan = handPlan([WINDOW], { stock: BLOCK });
  const sheet = setupSheet(plan, PROOF);
  const text = plainText(sheet);

  it("is one well-formed page that loads nothing from elsewhere", () => {
    const tags = tagsOf(sheet);
    expect(tags.filter((t) => t.name === "svg")).toHaveLength(1);
    for (const t of tags) {
      expect(["script", "link", "img", "iframe"]).not.toContain(t.name);
      for (const key of ["src", "href", "onload", "onclick"])
        expect(t.attributes[key]).toBeUndefined();
    }
    expect(sheet).not.toMatch(/url\(|@import/);
  });

  it("leaves the page size to the printer, A4 or Letter, and fits both", () => {
    // A4 is 210 mm wide, Letter 215.9; 12 mm margins leave 186 of the narrower.
    expect(sheet).toContain("@page { margin: 12mm }");
    expect(sheet).toContain("max-width: 186mm");
  });

  it("gives passes with their offsets: 0.125 + gap + leave", () => {
    expect(text).toMatch(/1 rough 0\.1250 0\.0300 0\.0550 0\.2100/);
    expect(text).toMatch(/2 skim 0\.1250 0\.0150 0\.0050 0\.1450/);
    expect(text).toMatch(/3 skim 0\.1250 0\.0100 0\.0000 0\.1350/);
  });

  it("lists the D table only when the control offsets", () => {
    const control = plainText(
      setupSheet(
        handPlan([WINDOW], { job: { program: { compensation: "control" } } }),
        PROOF,
      ),
    );
    expect(control).toContain("D1 = 0.2100");
    expect(control).toContain("D3 = 0.1350");
    expect(text).not.toContain("D1 =");
  });

  it("lists start holes with coordinates and diameter", () => {
    expect(text).toMatch(/opening-1 1\.0000 0\.0000 1 mm 25 : 1 to make/);
  });

  it("tells step by step what the machine does and what the person does", () => {
    expect(text).toContain("Step 1 runs with nobody there");
    expect(text).toMatch(
      /1 machine opening-1: thread at X 1\.0000 Y 0\.0000, cut the open stretch/,
    );
    expect(text).toMatch(/2 YOU M00 stop: opening-1: secure the slug/);
    expect(text).toMatch(/Hold the slug \(39\.1 g\) by magnet, clamp/);
    expect(text).toMatch(/3 YOU opening-1: .* cut the tab/);
    expect(text).toMatch(/4 YOU M00 stop: opening-1: take the slug out/);
    expect(text).toContain("the tab of 2 mm stays");
  });

  it("says of a part that it is the part that comes loose", () => {
    const part = plainText(
      setupSheet(handPlan([{ ...WINDOW, id: "part-1", role: "part" }]), PROOF),
    );
    expect(part).toContain("part-1 the part itself");
    expect(part).toContain("Hold the part (39.1 g)");
  });

  it("gives the proof's measures, worst first rounded up, shares rounded down", () => {
    expect(text).toContain("The proof holds.");
    // 0.121 µm is shown as 0.13, for rounding may never flatter.
    expect(text).toContain("at most 0.13 µm (allowed 0.50 µm)");
    expect(text).toContain("reaches 99.99 %");
    expect(text).toContain("G01 ×20");
  });

  it("says at the top when nothing is proved", () => {
    for (const proof of [null, { ...PROOF, ok: false }]) {
      const bad = plainText(setupSheet(plan, proof));
      expect(bad).toContain("no program was written");
      expect(bad).not.toContain("The proof holds.");
    }
    const failed = handPlan([WINDOW], {
      findings: [{ code: "a/b", severity: "error", message: "no" }],
    });
    expect(plainText(setupSheet(failed, PROOF))).not.toContain(
      "The proof holds.",
    );
  });

  it("tells how large each piece is and how it leans", () => {
    // The window's box, and a piece that can turn over.
    expect(text).toMatch(/20\.0000 × 10\.0000\s+turns right over/);
    const { slug, ...rest } = plan
      .features[0] as (typeof plan.features)[number];
    const leaning = plainText(
      setupSheet(
        { ...plan, features: [{ ...rest, slug: { ...slug, lean: 0.05 } }] },
        PROOF,
      ),
    );
    // 0.05 rad · 180° / π
    expect(leaning).toContain("2.9");
    expect(leaning).toContain("then jams");
  });

  it("names what is cut away whole, without mass, size or lean of a slug that there is not", () => {
    const [window, ...others] = plan.features;
    const away = { ...(window as (typeof plan.features)[number]), tab: null };
    const sheet = plainText(
      setupSheet({ ...plan, features: [away, ...others] }, PROOF),
    );
    expect(sheet).toContain(
      `Cut away whole, with nothing to come loose: ${away.id}.`,
    );
    expect(sheet).not.toContain("turns right over");
  });

  it("says how sure each figure of the estimate is", () => {
    expect(text).toMatch(/133 mm²\/min may turn out 67-167 % of that/);
    expect(text).toContain("time × 10.0 m/min");
    expect(text).toMatch(/8\.50 g\/cm³.*handbook figure from memory/);
    expect(text).toMatch(/times and how sure they are: common practice/);
    expect(text).toContain("not your machine&#39;s figures");
  });

  it("lists findings with place and code, those of the proof after those of the plan", () => {
    const found = plainText(
      setupSheet(
        handPlan([WINDOW], {
          findings: [
            {
              code: "corner/tight",
              severity: "warning",
              message: "too tight",
              where: [10, 5],
              feature: "opening-1",
            },
          ],
        }),
        {
          ...PROOF,
          findings: [{ code: "proof/x", severity: "note", message: "seen" }],
        },
      ),
    );
    expect(found).toMatch(
      /1 warning 10\.000, 5\.000 opening-1 too tight corner\/tight 2 note seen proof\/x/,
    );
    expect(text).toMatch(/Findings None\./);
  });

  it("carries the cautions and defers to manual, standard, codes and people", () => {
    for (const words of [
      "gap is live",
      "slug falls",
      "wire ends",
      "dielectric",
      "ISO 28881",
      "manual",
      "local codes",
      "trained people",
      "Verify on your machine, with a test cut, by a trained operator.",
    ])
      expect(text).toContain(words);
  });

  it("lets no name break out of its place", () => {
    const nasty = `</td></table><script>alert(1)</script>"'&`;
    const out = setupSheet(
      handPlan([{ ...WINDOW, id: nasty, layer: nasty }], {
        name: nasty,
        findings: [
          {
            code: nasty,
            severity: "note",
            message: nasty,
            feature: nasty,
          },
        ],
      }),
      {
        ...PROOF,
        loosePieces: [
          { feature: nasty, attended: false, line: 1, mass: 1, at: [0, 0] },
        ],
      },
    );
    expect(tagsOf(out).map((t) => t.name)).not.toContain("script");
    expect(plainText(out)).toContain("nobody there");
  });

  it("holds for a plan that cuts nothing", () => {
    expect(plainText(setupSheet(handPlan([]), null))).toContain(
      "Nothing is cut.",
    );
  });
});

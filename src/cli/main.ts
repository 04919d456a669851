#!/usr/bin/env node
/** The command line: a thin shell over the public API. */
import { InputError } from "../index.js";
import { runCheck } from "./commands/check.js";
import { runInspect } from "./commands/inspect.js";
import { runPlan } from "./commands/plan.js";
import { runTables } from "./commands/tables.js";
import { printJson, say } from "./output.js";
import {
  type Arguments,
  COMMAND_HELP,
  type CommandName,
  EXIT,
  HELP,
  readArguments,
  UsageError,
} from "./usage.js";

const COMMANDS: Record<CommandName, (args: Arguments) => number> = {
  plan: runPlan,
  inspect: runInspect,
  check: runCheck,
  tables: runTables,
};

function run(argv: readonly string[]): number {
  const [command, ...rest] = argv;
  if (command === undefined || command === "--help" || command === "help") {
    process.stdout.write(HELP);
    return command === undefined ? EXIT.usage : EXIT.done;
  }
  if (!Object.hasOwn(COMMANDS, command)) {
    throw new UsageError(
      `there is no command "${command}"; there are ${Object.keys(COMMANDS).join(", ")}. See: kerfwright --help`,
    );
  }
  const name = command as CommandName;
  const args = readArguments(name, rest);
  if (args.values.help) {
    process.stdout.write(COMMAND_HELP[name]);
    return EXIT.done;
  }
  return COMMANDS[name](args);
}

/** One clear message on standard error; with --json the same as one object on standard output. */
function report(error: unknown, json: boolean): number {
  if (error instanceof UsageError) {
    say(`kerfwright: ${error.message}`);
    if (json) printJson(failed("usage", error.message));
    return EXIT.usage;
  }
  if (error instanceof InputError) {
    say(`kerfwright: ${error.message} [${error.code}]`);
    if (json) printJson(failed(error.code, error.message, error.where));
    return EXIT.input;
  }
  const text =
    error instanceof Error ? (error.stack ?? error.message) : String(error);
  say(
    `kerfwright: a fault of kerfwright itself, not of your input. Please report it with the drawing and the job:\n${text}`,
  );
  if (json) printJson(failed("internal", text.split("\n")[0] ?? ""));
  return EXIT.fault;
}

function failed(
  code: string,
  message: string,
  where?: readonly [number, number],
): object {
  return {
    ok: false,
    findings: [{ code, severity: "error", message, ...(where && { where }) }],
  };
}

const argv = process.argv.slice(2);
try {
  process.exitCode = run(argv);
} catch (error) {
  process.exitCode = report(error, argv.includes("--json"));
}

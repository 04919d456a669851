/** What the process table has to say about a job: figures that no row gives, and material that breaks. */
import type { Finding } from "../base/finding.js";
import { nameText } from "../base/message.js";
import { trimmed } from "../base/numbers.js";
import type { Job } from "./job/job.js";

export function processFindings(job: Job): Finding[] {
  const { wire, stock, process } = job;
  const { steps, outside } = process.schedule;
  const setting = `${trimmed(wire.diameter, 4)} mm ${nameText(wire.material)} wire in ${nameText(process.material.title)}, ${trimmed(stock.thickness, 4)} mm high`;
  const findings: Finding[] = [];
  if (steps.length > 0)
    findings.push({
      code: "process/interpolated",
      severity: "note",
      message: `no row of the process table is for ${setting}; its figures come ${steps.join("; ")}. Calibrate gaps and rates with a test cut`,
    });
  if (outside.length > 0)
    findings.push({
      code: "process/outside-table",
      severity: "warning",
      message: `${setting}, lies outside the process table: ${outside.join("; ")}. Ask the makers of wire and machine, or give rows of your own in "process"`,
    });
  return findings;
}

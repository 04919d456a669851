/** Processor time of this process, all threads: other work on the machine does not count. */
export function timed<T>(work: () => T): [seconds: number, result: T] {
  const before = process.cpuUsage();
  const result = work();
  const { user, system } = process.cpuUsage(before);
  return [(user + system) / 1e6, result];
}

declare module "*?raw" {
  const text: string;
  export default text;
}
declare module "*?worker&inline" {
  const WorkerOfModule: new () => Worker;
  export default WorkerOfModule;
}

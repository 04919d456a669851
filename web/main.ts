/** All begins here, the page as well as its workers, which run the same script. */
import { startPage } from "./page.js";
import { serveTasks } from "./worker/worker.js";

if (typeof document === "undefined") serveTasks();
else startPage();

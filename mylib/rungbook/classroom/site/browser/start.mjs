// JupyterLite's kernel calls this in the place of Pyodide's own loadPyodide: the same Python, with all packages of the
// site in one archive on its path, and what the kernel needs imported before the notebooks' folder is mounted. From
// then on each look for a module in that folder is a question to the service worker.
import { loadPyodide as loadAlone } from "./pyodide.mjs";

export async function loadPyodide(options) {
  const archive = fetch(new URL("packages.zip", import.meta.url)).then((answer) => {
    if (!answer.ok) throw new Error(`packages.zip: ${answer.status}`);
    return answer.arrayBuffer();
  });
  // the names in options.packages tell the kernel what it need not install; all of it is in the archive
  const pyodide = await loadAlone({ ...options, packages: [] });
  pyodide.FS.writeFile("/lib/packages.zip", new Uint8Array(await archive));
  pyodide.runPython('import sys; sys.path.insert(1, "/lib/packages.zip"); import rungbook_start');
  return pyodide;
}

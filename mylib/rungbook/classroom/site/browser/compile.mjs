// node compile.mjs PYODIDE (ARCHIVE PLACE)…: puts bytecode of the Pyodide in the folder PYODIDE into zip archives of
// Python files; PLACE is where the archive will stand in the browser, for the names of files in errors.
// Sources stay only where their path begins with "rungbook", so that an error shows our lines.
import fs from "node:fs";
import path from "node:path";
import { pathToFileURL } from "node:url";

const [folder, ...pairs] = process.argv.slice(2);
const { loadPyodide } = await import(pathToFileURL(path.join(folder, "pyodide.mjs")).href);
const python = await loadPyodide({ indexURL: folder });
python.runPython(`
import warnings
from importlib import _bootstrap_external
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

warnings.simplefilter("ignore")

def compiled(source, target, place):
    with ZipFile(source) as given, ZipFile(target, "w", ZIP_DEFLATED, compresslevel=9) as made:
        for one in given.infolist():
            data = given.read(one)
            name = one.filename
            if name.endswith(".py"):
                try:
                    code = compile(data, f"{place}/{name}", "exec", dont_inherit=True)
                except (SyntaxError, ValueError):  # a file for another Python, or a template
                    code = None
                if code is not None:
                    entry = ZipInfo(name + "c", one.date_time)
                    entry.compress_type = ZIP_DEFLATED
                    # with a hash that is not compared: the source need not be there
                    made.writestr(entry, _bootstrap_external._code_to_hash_pyc(code, bytes(8), False))
                    if not name.startswith("rungbook"):
                        continue
            one.compress_type = ZIP_DEFLATED
            made.writestr(one, data)
`);
const compiled = python.globals.get("compiled");
for (let k = 0; k < pairs.length; k += 2) {
  python.FS.writeFile("/tmp/given.zip", fs.readFileSync(pairs[k]));
  compiled("/tmp/given.zip", "/tmp/made.zip", pairs[k + 1]);
  fs.writeFileSync(pairs[k], python.FS.readFile("/tmp/made.zip"));
}

// Runs the checks table through WebAssembly: published.mjs FILE.wasm STAGE TABLE.csv
import { readFileSync } from 'node:fs';
import { WASI } from 'node:wasi';
import { basename, dirname, resolve } from 'node:path';

const [file, stage, table] = process.argv.slice(2);
const wasi = new WASI({
    version: 'preview1',
    args: ['published', stage, `/tables/${basename(table)}`],
    preopens: { '/tables': dirname(resolve(table)) },
    returnOnExit: true,
});
const module = new WebAssembly.Module(readFileSync(file));
const instance = new WebAssembly.Instance(module, { wasi_snapshot_preview1: wasi.wasiImport });
process.exitCode = wasi.start(instance);

// The core asks nothing of its host: it has no imports and starts with an empty object.
import { readFileSync } from 'node:fs';

const module = new WebAssembly.Module(readFileSync(process.argv[2]));
const imports = WebAssembly.Module.imports(module);
console.log(`${imports.length === 0 ? 'ok' : 'not ok'} 1 - the core has no imports`);
for (const i of imports) console.log(`# it wants ${i.module}.${i.name}`);
let started = false;
try {
    const instance = new WebAssembly.Instance(module, {});
    instance.exports._initialize();
    started = Math.abs(instance.exports.tufa_normal_cdf(0) - 0.5) < 1e-15;
} catch (error) {
    console.log(`# ${error}`);
}
console.log(`${started ? 'ok' : 'not ok'} 2 - it starts and computes`);
console.log('1..2');

// A desk of its own for a test: the demo's book in a new folder, the program on a free port; and TAP lines.
import { execFileSync, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export const today = ['--today', '2026-11-25'];
let number = 0;
let failed = 0;

export function check(holds, name, seen) {
    number += 1;
    if (!holds) failed += 1;
    console.log(`${holds ? 'ok' : 'not ok'} ${number} - ${name}`);
    if (!holds) console.log(`# seen: ${String(seen).replace(/\s+/g, ' ').slice(0, 400)}`);
}

export function skip(name, why) {
    number += 1;
    console.log(`ok ${number} - ${name} # SKIP ${why}`);
}

export function finish() {
    console.log(`1..${number}`);
    process.exit(failed ? 1 : 0);
}

export function newBook(program, tables) {
    const folder = mkdtempSync(join(tmpdir(), 'tufa-'));
    const book = join(folder, 'pages.book');
    execFileSync(program, ['book', 'new', book]);
    if (tables) execFileSync(program, ['book', 'import', tables, '--book', book, ...today]);
    return { folder, book };
}

export function startDesk(program, book, options = []) {
    const child = spawn(program, ['desk', '--book', book, '--port', '0', '--no-browser', ...today, ...options]);
    let said = '';
    return new Promise((resolve, reject) => {
        child.stdout.on('data', (piece) => {
            said += piece;
            const m = said.match(/open at (https?):\/\/(\S+):(\d+)\//);
            if (m) resolve({ child, scheme: m[1], host: m[2], port: Number(m[3]), origin: `${m[1]}://${m[2]}:${m[3]}`, said: () => said });
        });
        let complaint = '';
        child.stderr.on('data', (piece) => { complaint += piece; });
        child.on('exit', (code) => reject(new Error(`the desk ended with ${code}: ${complaint}`)));
    });
}

export function stopDesk(desk, folder) {
    const closed = new Promise((resolve) => desk.child.on('exit', (code, signal) => resolve(signal ?? code)));
    desk.child.kill('SIGTERM');
    return closed.then((how) => {
        if (folder) rmSync(folder, { recursive: true });
        return how;
    });
}

// A desk of its own for a test: the demo's book in a new folder, the program on a free port; and TAP lines.
import { execFileSync, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import http from 'node:http';
import https from 'node:https';
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

/** One request to a desk that was started; code 0 when the connection broke. */
export function ask(desk, { path = '/', method = 'GET', headers = {}, body = '' } = {}) {
    const { request } = desk.scheme === 'https' ? https : http;
    return new Promise((resolve) => {
        const r = request({ host: desk.host, port: desk.port, path, method, rejectUnauthorized: false, headers: { Host: `${desk.host}:${desk.port}`, ...headers } }, (answer) => {
            let text = '';
            answer.setEncoding('utf8');
            answer.on('data', (piece) => { text += piece; });
            answer.on('end', () => resolve({ code: answer.statusCode, headers: answer.headers, text }));
        });
        r.on('error', (error) => resolve({ code: 0, headers: {}, text: String(error) }));
        r.end(body);
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

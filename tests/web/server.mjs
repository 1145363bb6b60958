// The server's own promises, asked over the wire: server.mjs PROGRAM DEMO-TABLES. TAP.
import { execFileSync, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { request } from 'node:http';
import { connect } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const [program, tables] = process.argv.slice(2);
const folder = mkdtempSync(join(tmpdir(), 'tufa-'));
const book = join(folder, 'pages.book');
const today = ['--today', '2026-11-25'];
let number = 0;
let failed = 0;

function check(holds, name, seen) {
    number += 1;
    if (!holds) failed += 1;
    console.log(`${holds ? 'ok' : 'not ok'} ${number} - ${name}`);
    if (!holds) console.log(`# seen: ${String(seen).slice(0, 300)}`);
}

function ask(port, { path = '/', method = 'GET', headers = {}, body = '' }) {
    return new Promise((resolve) => {
        const r = request({ host: '127.0.0.1', port, path, method, headers: { Host: `127.0.0.1:${port}`, ...headers } }, (answer) => {
            let text = '';
            answer.setEncoding('utf8');
            answer.on('data', (piece) => { text += piece; });
            answer.on('end', () => resolve({ code: answer.statusCode, headers: answer.headers, text }));
        });
        r.on('error', (error) => resolve({ code: 0, headers: {}, text: String(error) }));
        r.end(body);
    });
}

function started(child) {
    return new Promise((resolve) => {
        let said = '';
        child.stdout.on('data', (piece) => {
            said += piece;
            const m = said.match(/127\.0\.0\.1:(\d+)/);
            if (m) resolve(Number(m[1]));
        });
    });
}

execFileSync(program, ['book', 'new', book]);
execFileSync(program, ['book', 'import', tables, '--book', book, ...today]);
const child = spawn(program, ['desk', '--book', book, '--port', '0', ...today]);
const port = await started(child);

// A request that never ends is let go of; begun here, looked at in the end.
const idle = new Promise((resolve) => {
    const began = Date.now();
    const socket = connect(port, '127.0.0.1', () => socket.write('GET / HTTP/1.1\r\nHost: 127'));
    socket.on('close', () => resolve((Date.now() - began) / 1000));
    socket.on('error', () => {});
    socket.resume();
    setTimeout(() => { socket.destroy(); }, 40000).unref();
});

const first = await ask(port, {});
check(first.code === 200 && first.text.includes('<main'), 'the first page is there', first.text);
const policy = first.headers['content-security-policy'] ?? '';
check(policy.includes("default-src 'none'") && !policy.includes('unsafe'), 'no script or style but ours may run', policy);
check(!/<script(?![^>]* src=)/.test(first.text) && !/ on[a-z]+=/.test(first.text) && !/ style=/.test(first.text), 'nothing runs inline', first.text);
check(first.headers['x-content-type-options'] === 'nosniff', 'types are not guessed', JSON.stringify(first.headers));
check(first.headers['cache-control'] === 'no-store', 'pages are not kept', first.headers['cache-control']);

for (const host of ['evil.example', `evil.example:${port}`, '127.0.0.1', `127.0.0.1:${port}.evil.example`]) {
    const answer = await ask(port, { headers: { Host: host } });
    check(answer.code === 421 || answer.code === 400, `a request for the host "${host}" is refused`, answer.code);
}
const local = await ask(port, { headers: { Host: `localhost:${port}` } });
check(local.code === 200, 'localhost is this desk too', local.code);

for (const path of ['/../../etc/passwd', '/..%2f..%2fetc/passwd', '/style.css/../pages.book', '/pages.book', '//etc/passwd', '/%2e%2e/%2e%2e/etc/passwd']) {
    const answer = await ask(port, { path });
    check((answer.code === 404 || answer.code === 400) && !answer.text.includes('root:'), `no file is reached by ${path}`, answer.code);
}
const form = await ask(port, { method: 'POST', path: '/year', headers: { 'Content-Type': 'application/x-www-form-urlencoded' }, body: 'a=b' });
check(form.code === 403 || form.code === 405, 'a form without our token changes nothing', form.code);
const put = await ask(port, { method: 'PUT', path: '/year', body: 'x' });
check(put.code === 405, 'only GET and POST are taken', put.code);
const large = await ask(port, { method: 'POST', path: '/year', headers: { 'Content-Type': 'application/x-www-form-urlencoded' }, body: `a=${'b'.repeat(9 << 20)}` });
check(large.code === 413 || large.code === 0, 'nine megabytes are too many', large.code);
const long = await ask(port, { path: `/${'a'.repeat(2000)}` });
check(long.code === 400 || long.code === 414, 'a path of two thousand letters is refused', long.code);
const fields = await ask(port, { path: `/?${Array.from({ length: 300 }, (_, i) => `f${i}=1`).join('&')}` });
check(fields.code === 413, 'three hundred fields are too many', fields.code);
const odd = await ask(port, { path: '/?a=%ff%fe' });
check(odd.code === 400, 'bytes that are no text are refused', odd.code);
const asset = await ask(port, { path: '/style.css' });
check(asset.code === 200 && asset.headers['content-type'].startsWith('text/css') && asset.text.length < 600000, 'the style sheet is built in', asset.code);
const none = await ask(port, { path: '/nowhere' });
check(none.code === 404 && none.text.includes('<main'), 'a page that is not there says so', none.text);
const still = await ask(port, {});
check(still.code === 200, 'the desk is still open after all this', still.code);

const seconds = await idle;
check(seconds < 25, 'a request that stops half way is let go of after a quarter of a minute', seconds);

const closed = new Promise((resolve) => child.on('exit', (code, signal) => resolve(signal ?? code)));
child.kill('SIGTERM');
check((await closed) === 0, 'it closes when told to', await closed);
rmSync(folder, { recursive: true });
console.log(`1..${number}`);
process.exit(failed ? 1 : 0);

// The server's own promises, asked over the wire: server.mjs PROGRAM DEMO-TABLES. TAP.
import { connect } from 'node:net';

import { ask, check, finish, newBook, startDesk, stopDesk } from './desk.mjs';

const [program, tables] = process.argv.slice(2);
const { folder, book } = newBook(program, tables);
const desk = await startDesk(program, book);
const { port } = desk;

// A request that never ends is let go of; begun here, looked at in the end.
const idle = new Promise((resolve) => {
    const began = Date.now();
    const socket = connect(port, '127.0.0.1', () => socket.write('GET / HTTP/1.1\r\nHost: 127'));
    socket.on('close', () => resolve((Date.now() - began) / 1000));
    socket.on('error', () => {});
    socket.resume();
    setTimeout(() => { socket.destroy(); }, 40000).unref();
});

const first = await ask(desk, {});
check(first.code === 200 && first.text.includes('<main'), 'the first page is there', first.text);
const policy = first.headers['content-security-policy'] ?? '';
check(policy.includes("default-src 'none'") && !policy.includes('unsafe'), 'no script or style but ours may run', policy);
check(!/<script(?![^>]* src=)/.test(first.text) && !/ on[a-z]+=/.test(first.text) && !/ style=/.test(first.text), 'nothing runs inline', first.text);
check(first.headers['x-content-type-options'] === 'nosniff', 'types are not guessed', JSON.stringify(first.headers));
check(first.headers['cache-control'] === 'no-store', 'pages are not kept', first.headers['cache-control']);

for (const host of ['evil.example', `evil.example:${port}`, '127.0.0.1', `127.0.0.1:${port}.evil.example`]) {
    const answer = await ask(desk, { headers: { Host: host } });
    check(answer.code === 421 || answer.code === 400, `a request for the host "${host}" is refused`, answer.code);
}
const local = await ask(desk, { headers: { Host: `localhost:${port}` } });
check(local.code === 200, 'localhost is this desk too', local.code);

for (const path of ['/../../etc/passwd', '/..%2f..%2fetc/passwd', '/style.css/../pages.book', '/pages.book', '//etc/passwd', '/%2e%2e/%2e%2e/etc/passwd']) {
    const answer = await ask(desk, { path });
    check((answer.code === 404 || answer.code === 400) && !answer.text.includes('root:'), `no file is reached by ${path}`, answer.code);
}
const form = await ask(desk, { method: 'POST', path: '/year', headers: { 'Content-Type': 'application/x-www-form-urlencoded' }, body: 'a=b' });
check(form.code === 403 || form.code === 405, 'a form without our token changes nothing', form.code);
const put = await ask(desk, { method: 'PUT', path: '/year', body: 'x' });
check(put.code === 405, 'only GET and POST are taken', put.code);
const large = await ask(desk, { method: 'POST', path: '/year', headers: { 'Content-Type': 'application/x-www-form-urlencoded' }, body: `a=${'b'.repeat(9 << 20)}` });
check(large.code === 413 || large.code === 0, 'nine megabytes are too many', large.code);
const long = await ask(desk, { path: `/${'a'.repeat(2000)}` });
check(long.code === 400 || long.code === 414, 'a path of two thousand letters is refused', long.code);
const fields = await ask(desk, { path: `/?${Array.from({ length: 300 }, (_, i) => `f${i}=1`).join('&')}` });
check(fields.code === 413, 'three hundred fields are too many', fields.code);
const odd = await ask(desk, { path: '/?a=%ff%fe' });
check(odd.code === 400, 'bytes that are no text are refused', odd.code);
const asset = await ask(desk, { path: '/style.css' });
check(asset.code === 200 && asset.headers['content-type'].startsWith('text/css') && asset.text.length < 600000, 'the style sheet is built in', asset.code);
const none = await ask(desk, { path: '/nowhere' });
check(none.code === 404 && none.text.includes('<main'), 'a page that is not there says so', none.text);
const still = await ask(desk, {});
check(still.code === 200, 'the desk is still open after all this', still.code);

const seconds = await idle;
check(seconds < 25, 'a request that stops half way is let go of after a quarter of a minute', seconds);

const how = await stopDesk(desk, folder);
check(how === 0, 'it closes when told to', how);
finish();

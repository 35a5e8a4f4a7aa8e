// A real SMTP server that keeps what it gets, and an independent reader of calendars.
import { SMTPServer } from 'smtp-server';
import ICAL from 'ical.js';

/**
 * Starts a mail server on a free port of this machine. Gives its port, the mails that it got ({ from, to, raw, header(name), text }), the
 * arguments with which `witnessmark serve` hands its mails there, arrived(n), which waits until so many have come, and stop.
 */
export async function startSink() {
  const mails = [];
  const server = new SMTPServer({
    authOptional: true,
    disabledCommands: ['STARTTLS'],
    onData(stream, session, done) {
      const parts = [];
      stream.on('data', (part) => parts.push(part));
      stream.on('end', () => {
        mails.push(read(Buffer.concat(parts).toString('utf8'), session.envelope));
        done();
      });
    },
  });
  await new Promise((resolve, reject) => { server.once('error', reject); server.listen(0, '127.0.0.1', resolve); });
  const { port } = server.server.address();
  return {
    port,
    mails,
    flags: ['--smtp-host', '127.0.0.1', '--smtp-port', String(port), '--smtp-tls', 'none', '--smtp-from', 'bench@workshop.example'],
    async arrived(n, seconds = 60) {
      for (const end = Date.now() + 1000 * seconds; mails.length < n; await new Promise((r) => setTimeout(r, 100))) {
        if (Date.now() > end) throw new Error(`${mails.length} of ${n} mails came within ${seconds} s`);
      }
      return mails;
    },
    stop: () => new Promise((resolve) => server.close(resolve)),
  };
}

// read takes a plain text mail apart: unfolds its headers and decodes quoted-printable.
function read(raw, envelope) {
  const at = raw.indexOf('\r\n\r\n');
  const headers = raw.slice(0, at).replace(/\r\n[ \t]+/g, ' ').split('\r\n');
  const bytes = raw.slice(at + 4).replace(/=\r\n/g, '').replace(/=([0-9A-F]{2})/g, (_, hex) => String.fromCharCode(parseInt(hex, 16)));
  return {
    raw,
    from: envelope.mailFrom.address,
    to: envelope.rcptTo.map((r) => r.address),
    header: (name) => headers.find((h) => h.toLowerCase().startsWith(`${name.toLowerCase()}:`))?.slice(name.length + 1).trim(),
    text: Buffer.from(bytes, 'latin1').toString('utf8'),
  };
}

/** Reads a calendar: its properties, and its events as { uid, on, end, summary, text, sequence, allDay }. It throws where the text is none. */
export function readCalendar(text) {
  const calendar = new ICAL.Component(ICAL.parse(text));
  const events = calendar.getAllSubcomponents('vevent').map((c) => {
    const e = new ICAL.Event(c);
    return { uid: e.uid, on: e.startDate.toString(), end: e.endDate.toString(), summary: e.summary, text: e.description, sequence: e.sequence, allDay: e.startDate.isDate };
  });
  return { method: calendar.getFirstPropertyValue('method'), name: calendar.getFirstPropertyValue('x-wr-calname'), events };
}

import type { OpenFailure } from './byte-port.ts';

/**
 * The error objects of the serial library carry no code, so the text has to be read. Texts are those of
 * @serialport/bindings-cpp 13.0.0 (src/serialport_unix.cpp, src/serialport_win.cpp) around `strerror` of the system.
 */
const patterns: readonly { readonly kind: OpenFailure['kind']; readonly text: RegExp }[] = [
  // Linux and macOS: flock refused, or TIOCEXCL of another program.
  { kind: 'busy', text: /cannot lock port|resource temporarily unavailable|resource busy|text file busy/i },
  // Windows: CreateFile answers ERROR_ACCESS_DENIED when another program has the COM port open.
  { kind: 'busy', text: /\bopening .*access denied/i },
  { kind: 'denied', text: /permission denied|operation not permitted|\bEACCES\b|\bEPERM\b/i },
  {
    kind: 'missing',
    text: /no such file or directory|file not found|no such device|not configured|\bENOENT\b|\bENXIO\b|\bENODEV\b|input\/output error/i,
  },
];

/** Who has to be asked for which group, by the owner group of the device where it is known. */
export function describeRemedy(platform: string, group: string | undefined): string {
  if (platform === 'linux') {
    const groups = group === undefined ? 'dialout (Debian, Ubuntu) or uucp (Arch)' : group;
    const name = group ?? 'dialout';
    return `Add this user to the group ${groups}: sudo usermod -aG ${name} "$USER", then log out and in again.`;
  }
  if (platform === 'darwin') return 'Allow this program to use the device, then plug it in again.';
  return 'Ask an administrator for the right to use this port.';
}

/**
 * Says which kind of failure an error of an attempt to open is.
 *
 * @param message text of the error
 * @param context path as the user knows it, platform as in `process.platform`, group that owns the device
 */
export function classifyOpenError(
  message: string,
  context: { readonly path: string; readonly platform: string; readonly group?: string | undefined },
): OpenFailure {
  const kind = patterns.find((pattern) => pattern.text.test(message))?.kind ?? 'failed';
  switch (kind) {
    case 'busy':
      return { kind, message: `${context.path} is in use by another program.` };
    case 'denied':
      return {
        kind,
        message: `This user may not open ${context.path}.`,
        remedy: describeRemedy(context.platform, context.group),
      };
    case 'missing':
      return { kind, message: `${context.path} is not there.` };
    case 'failed':
      return { kind, message: `${context.path} cannot be opened: ${tidy(message)}` };
  }
}

function tidy(message: string): string {
  const text = message.replace(/^Error:?\s*/i, '').trim();
  return text.endsWith('.') ? text : `${text}.`;
}

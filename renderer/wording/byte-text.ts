/** Bytes as hexadecimal pairs: `53 54 0d 0a`. */
export function hexText(bytes: Uint8Array): string {
  return [...bytes].map((byte) => byte.toString(16).padStart(2, '0')).join(' ');
}

/** Names of the control characters (ISO/IEC 646). */
const controls =
  'NUL SOH STX ETX EOT ENQ ACK BEL BS HT LF VT FF CR SO SI DLE DC1 DC2 DC3 DC4 NAK SYN ETB CAN EM SUB ESC FS GS RS US'.split(
    ' ',
  );

/** Bytes as text: printable ASCII as it is, controls by name (‹CR›), bytes beyond ASCII as ‹FF›. */
export function printableText(bytes: Uint8Array): string {
  return [...bytes]
    .map((byte) => {
      if (byte < 0x20) return `‹${controls[byte]}›`;
      if (byte === 0x7f) return '‹DEL›';
      return byte < 0x7f ? String.fromCharCode(byte) : `‹${byte.toString(16).toUpperCase()}›`;
    })
    .join('');
}

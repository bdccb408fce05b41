/** Longest request that a simulated instrument listens to, in bytes. */
const longestRequest = 64;

/**
 * The ear of a simulated instrument: gathers bytes and calls back with each request, without its line end
 * (CR, LF or both).
 */
export function splitRequests(onRequest: (request: string) => void): (chunk: Uint8Array) => void {
  let held = '';
  return (chunk) => {
    for (const byte of chunk) {
      if (byte === 0x0d || byte === 0x0a) {
        const request = held;
        held = '';
        if (request !== '') onRequest(request);
      } else {
        held = (held + String.fromCharCode(byte)).slice(-longestRequest);
      }
    }
  };
}

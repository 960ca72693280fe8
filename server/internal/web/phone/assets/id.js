// newID makes a UUID of version 7 (RFC 9562, section 5.7): 48 bits of milliseconds, then random.
// crypto.getRandomValues is there without a secure address too; crypto.randomUUID is not.
export function newID(ms) {
  const b = crypto.getRandomValues(new Uint8Array(16));
  for (let i = 0, at = ms; i < 6; i++, at = Math.floor(at / 256)) b[5 - i] = at % 256;
  b[6] = 0x70 | (b[6] & 0x0f);
  b[8] = 0x80 | (b[8] & 0x3f);
  const s = [...b].map((x) => x.toString(16).padStart(2, "0")).join("");
  return `${s.slice(0, 8)}-${s.slice(8, 12)}-${s.slice(12, 16)}-${s.slice(16, 20)}-${s.slice(20)}`;
}

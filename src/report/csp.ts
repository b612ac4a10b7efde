/** Base64 of bytes, in blocks: a whole recording at once would overflow the argument list. */
export function base64(bytes: Uint8Array): string {
  const block = 0x8000;
  let text = "";
  for (let at = 0; at < bytes.length; at += block) {
    text += String.fromCharCode(...bytes.subarray(at, at + block));
  }
  return btoa(text);
}

/** The source expression of Content Security Policy Level 3 for one inline script or style, hashed as UTF-8. */
export async function hashSource(text: string): Promise<string> {
  const digest = await crypto.subtle.digest("SHA-256", new TextEncoder().encode(text));
  return `'sha256-${base64(new Uint8Array(digest))}'`;
}

/**
 * The policy of a report: nothing is fetched, nothing runs or styles but the inlined texts, told by their hashes.
 * Images and sound come from inside the file only. Neither inline attributes nor eval are allowed.
 */
export async function contentPolicy(scripts: string[], styles: string[]): Promise<string> {
  const hashes = async (texts: string[]) =>
    texts.length === 0 ? "'none'" : (await Promise.all(texts.map(hashSource))).join(" ");
  return [
    "default-src 'none'",
    `script-src ${await hashes(scripts)}`,
    `style-src ${await hashes(styles)}`,
    "img-src data:",
    "media-src data: blob:",
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
}

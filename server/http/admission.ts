/**
 * Who may speak to the service: the Host header must name us, which stops a foreign page that has bent its own name to
 * our address (DNS rebinding), and the Origin of a WebSocket must be our own or one that the user allowed.
 */
import { isIP } from 'node:net';

export interface Admission {
  /** The address that the service is bound to. */
  readonly boundTo: string;
  /** Names of this machine beyond `localhost`, counted only when not bound to loopback. */
  readonly machineNames: readonly string[];
  /** Origins that the user allowed, as a browser writes them: `https://host:port`. */
  readonly allowedOrigins: readonly string[];
}

/** The name in a Host header, without the port and the brackets of an IPv6 address; null when it is none. */
function hostName(header: string | undefined): string | null {
  const match = /^(?:\[([0-9a-f:.]+)\]|([a-z0-9._-]+))(?::\d{1,5})?$/i.exec(header ?? '');
  return match ? (match[1] ?? match[2]!).toLowerCase() : null;
}

export function isLoopback(name: string): boolean {
  return name === 'localhost' || name === '::1' || (isIP(name) === 4 && name.startsWith('127.'));
}

/** Whether a text is an origin exactly as a browser writes it. */
export function isOrigin(text: string): boolean {
  return URL.canParse(text) && /^https?:$/.test(new URL(text).protocol) && new URL(text).origin === text;
}

/** An address is safe whatever it is: a page that is reached by address cannot have bent a name. */
export function hostAdmitted(header: string | undefined, admission: Admission): boolean {
  const name = hostName(header);
  if (name === null) return false;
  if (isLoopback(name)) return true;
  if (admission.allowedOrigins.some((origin) => new URL(origin).hostname === name)) return true;
  if (isLoopback(admission.boundTo)) return false;
  return isIP(name) !== 0 || name === admission.boundTo.toLowerCase() || admission.machineNames.includes(name);
}

/**
 * `host` must have been admitted. A missing Origin is admitted: every browser sends one with a WebSocket, so that only
 * programs come without, and those could write any.
 */
export function originAdmitted(origin: string | undefined, host: string, admission: Admission): boolean {
  if (origin === undefined) return true;
  return origin === `http://${host.toLowerCase()}` || admission.allowedOrigins.includes(origin);
}

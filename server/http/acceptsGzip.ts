/** RFC 9110, 12.5.3: a weight of 0 says "not acceptable". */
export function acceptsGzip(acceptEncoding: string): boolean {
  return acceptEncoding.split(',').some((coding) => /^\s*gzip\s*(;(?!\s*q=0(\.0*)?\s*$).*)?$/i.test(coding));
}

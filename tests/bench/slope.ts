/** The slope of a straight line through points, by least squares; NaN for fewer than two different places. */
export function slope(points: readonly { readonly x: number; readonly y: number }[]): number {
  const meanX = points.reduce((sum, { x }) => sum + x, 0) / points.length;
  const meanY = points.reduce((sum, { y }) => sum + y, 0) / points.length;
  let over = 0;
  let under = 0;
  for (const { x, y } of points) {
    over += (x - meanX) * (y - meanY);
    under += (x - meanX) ** 2;
  }
  return over / under;
}

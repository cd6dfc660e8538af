/** Who leaves and who comes, each with a signature, or a way to give it. */
export function HandoverSides({ number }: { readonly number: number }) {
  return <p>{number}</p>;
}

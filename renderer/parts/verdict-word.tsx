/** The word of a verdict; its style needs to know how long it is. */
export function VerdictWord({ word }: { readonly word: string }) {
  return (
    <p className="verdict-word" style={{ ['--letters' as string]: word.length }}>
      {word}
    </p>
  );
}

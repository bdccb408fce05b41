import { type ContentCheck, createContentCheck } from './check-content.ts';
import { checkFile } from './check-structure.ts';
import { lastPieceOf, placesPerPiece, type Share } from './pieces.ts';
import type { Verification } from './verification.ts';

/** Checks one piece after the other until none is left. Yields the place it is at. */
export function* checkPieces(verification: Verification, share: Share): Generator<number, void> {
  const { upper } = verification;
  const last = lastPieceOf(upper);
  let checkContent: ContentCheck | undefined;
  for (let piece = share.take(); piece <= last; piece = share.take()) {
    const first = piece * placesPerPiece + 1;
    // Within a piece, to which belongs what cannot be read here.
    checkContent ??= createContentCheck(verification);
    if (piece === last) checkFile(verification);
    else yield* checkContent({ first, last: Math.min(upper, first + placesPerPiece - 1) });
    share.finished(piece);
  }
}

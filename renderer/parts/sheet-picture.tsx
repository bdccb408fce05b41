import type { Picture } from '../../shared/sheet/step.ts';
import { useWording } from '../workbench.ts';

/** A picture of a service sheet. */
export function SheetPicture({ picture }: { readonly picture: Picture | undefined }) {
  const { of } = useWording();
  if (picture === undefined) return null;
  return (
    <img
      className="sheet-picture"
      src={`data:${picture.mediaType};base64,${picture.base64}`}
      alt={of(picture.description)}
    />
  );
}

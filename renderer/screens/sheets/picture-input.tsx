import { toBase64 } from '../../../shared/evidence/base64.ts';
import { longestPicture, pictureTypes } from '../../../shared/sheet/step.ts';
import { refusedHere } from '../../actions/action.ts';
import { type Plain, valueAt, withValueAt } from '../../state/sheet-draft.ts';
import { useWording, useWorkbench } from '../../workbench.ts';
import { SheetFieldInput } from './sheet-field-input.tsx';

interface PictureInputProperties {
  readonly value: unknown;
  /** As in `SheetFieldInput`, from the picture. */
  readonly wrong: string | null;
  readonly onChange: (value: unknown) => void;
}

/** The picture of a step: chosen from a file, with words for those who do not see it. */
export function PictureInput({ value, wrong, onChange }: PictureInputProperties) {
  const { hands } = useWorkbench();
  const { say, language } = useWording();
  const type = pictureTypes.find((known) => known === valueAt(value, 'mediaType'));
  const base64 = valueAt(value, 'base64');
  const choose = async () => {
    const chosen = await hands.readPicture();
    if (chosen === null) return;
    const text = toBase64(chosen.bytes);
    if (!pictureTypes.some((known) => known === chosen.mediaType)) {
      hands.say(refusedHere('refusal.pictureType'));
    } else if (text.length > longestPicture) {
      hands.say(refusedHere('refusal.pictureTooLarge'));
    } else {
      const description = valueAt(value, 'description') ?? { en: '', de: '' };
      onChange({ mediaType: chosen.mediaType, base64: text, description });
    }
  };
  return (
    <fieldset className="editor-group" data-testid="field-picture">
      <legend>{say('sheetField.picture')}</legend>
      {type !== undefined && typeof base64 === 'string' && (
        <>
          <img
            className="editor-picture"
            src={`data:${type};base64,${base64}`}
            alt={String(valueAt(value, `description.${language}`) ?? '')}
          />
          <SheetFieldInput
            field={{ path: 'description', kind: 'localized', label: 'sheetField.pictureDescription' }}
            of={value as Plain}
            wrong={wrong}
            onChange={(next) => onChange(withValueAt(value, 'description', valueAt(next, 'description')))}
          />
        </>
      )}
      <div className="editor-buttons">
        <button type="button" className="action" data-testid="picture-choose" onClick={() => void choose()}>
          <span className="action-label">
            {say(value === undefined ? 'editor.choosePicture' : 'editor.changePicture')}
          </span>
        </button>
        {value !== undefined && (
          <button
            type="button"
            className="action"
            data-testid="picture-remove"
            onClick={() => onChange(undefined)}
          >
            <span className="action-label">{say('editor.removePicture')}</span>
          </button>
        )}
      </div>
    </fieldset>
  );
}

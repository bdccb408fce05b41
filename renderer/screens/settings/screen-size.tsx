import { assumedPixelsPerMillimetre } from '../../state/settings-store.ts';
import { useSettings, useWording, useWorkbench } from '../../workbench.ts';

/** Size of a bank card: ISO/IEC 7810:2019, format ID-1. */
const cardWidthMillimetres = 85.6;
const cardHeightMillimetres = 53.98;

/** Makes a millimetre of this screen a millimetre, by an outline held against a bank card. */
export function ScreenSize() {
  const { settingsStore } = useWorkbench();
  const { pixelsPerMillimetre } = useSettings();
  const { say, fixed } = useWording();
  const scale = (factor: number) =>
    settingsStore.setState({
      pixelsPerMillimetre: Math.min(16, Math.max(1.5, pixelsPerMillimetre * factor)),
    });
  const steps = [
    { label: say('settings.size.muchSmaller'), factor: 1 / 1.05 },
    { label: say('settings.size.smaller'), factor: 1 / 1.005 },
    { label: say('settings.size.larger'), factor: 1.005 },
    { label: say('settings.size.muchLarger'), factor: 1.05 },
  ];
  return (
    <section className="screen-size">
      <h2>{say('settings.size')}</h2>
      <p>{say('settings.size.text')}</p>
      <div
        className="card-outline"
        data-testid="card-outline"
        style={{
          width: cardWidthMillimetres * pixelsPerMillimetre,
          height: cardHeightMillimetres * pixelsPerMillimetre,
        }}
      >
        <span>{say('settings.size.now', { pixels: fixed(pixelsPerMillimetre, 2) })}</span>
      </div>
      <div className="row">
        {steps.map(({ label, factor }) => (
          <button key={label} type="button" className="action" onClick={() => scale(factor)}>
            <span className="action-label">{label}</span>
          </button>
        ))}
        <button
          type="button"
          className="action"
          onClick={() => settingsStore.setState({ pixelsPerMillimetre: assumedPixelsPerMillimetre })}
        >
          <span className="action-label">{say('settings.size.reset')}</span>
        </button>
      </div>
    </section>
  );
}

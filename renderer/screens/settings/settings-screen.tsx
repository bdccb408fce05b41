import { themes, unitsToShow } from '../../state/settings-store.ts';
import { languages } from '../../wording/wording.ts';
import { useSettings, useWording, useWorkbench } from '../../workbench.ts';
import { RadioChoice } from './radio-choice.tsx';
import { ScreenSize } from './screen-size.tsx';

const volumes = [
  { value: 0, key: 'settings.sound.off' },
  { value: 0.3, key: 'settings.sound.quiet' },
  { value: 0.6, key: 'settings.sound.medium' },
  { value: 1, key: 'settings.sound.loud' },
] as const;

/** What this screen remembers about itself: language, decimal sign, look, sound, size. */
export function SettingsScreen() {
  const { settingsStore, playTone } = useWorkbench();
  const settings = useSettings();
  const { say } = useWording();
  const loudness = settings.muted ? 0 : settings.volume;
  return (
    <div className="desk">
      <h1 className="visually-hidden">{say('screen.settings')}</h1>
      <div className="settings">
        <RadioChoice
          name="language"
          label={say('settings.language')}
          value={settings.language}
          choices={languages.map((language) => ({
            value: language,
            label: say(`settings.language.${language}`),
          }))}
          onChange={(language) => settingsStore.setState({ language })}
        />
        <RadioChoice
          name="decimal-sign"
          label={say('settings.decimalSign')}
          value={settings.decimalSign ?? 'auto'}
          choices={[
            { value: 'auto', label: say('settings.decimalSign.auto') },
            { value: '.', label: say('settings.decimalSign.point') },
            { value: ',', label: say('settings.decimalSign.comma') },
          ]}
          onChange={(sign) => settingsStore.setState({ decimalSign: sign === 'auto' ? null : sign })}
        />
        <RadioChoice
          name="units"
          label={say('settings.units')}
          value={settings.unitsShown}
          choices={unitsToShow.map((units) => ({ value: units, label: say(`settings.units.${units}`) }))}
          onChange={(unitsShown) => settingsStore.setState({ unitsShown })}
        />
        <RadioChoice
          name="theme"
          label={say('settings.theme')}
          value={settings.theme}
          choices={themes.map((theme) => ({ value: theme, label: say(`settings.theme.${theme}`) }))}
          onChange={(theme) => settingsStore.setState({ theme })}
        />
        <div>
          <RadioChoice
            name="sound"
            label={say('settings.sound')}
            value={String(loudness)}
            choices={volumes.map(({ value, key }) => ({ value: String(value), label: say(key) }))}
            onChange={(value) =>
              settingsStore.setState(
                value === '0' ? { muted: true } : { muted: false, volume: Number(value) },
              )
            }
          />
          <div className="row">
            <button type="button" className="action" onClick={() => playTone('passed')}>
              <span className="action-label">{say('settings.sound.tryPassed')}</span>
            </button>
            <button type="button" className="action" onClick={() => playTone('not passed')}>
              <span className="action-label">{say('settings.sound.tryNotPassed')}</span>
            </button>
          </div>
        </div>
        <div className="field">
          <label htmlFor="scan-prefix">{say('settings.scanPrefix')}</label>
          <input
            id="scan-prefix"
            data-testid="scan-prefix"
            maxLength={8}
            autoComplete="off"
            spellCheck={false}
            aria-describedby="scan-prefix-hint"
            value={settings.scanPrefix}
            onChange={(event) => settingsStore.setState({ scanPrefix: event.currentTarget.value })}
          />
          <p id="scan-prefix-hint" className="field-hint">
            {say('settings.scanPrefixHint')}
          </p>
        </div>
        <ScreenSize />
      </div>
    </div>
  );
}

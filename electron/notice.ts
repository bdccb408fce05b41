import { faultWords } from './fault-words.ts';
import type { StationFault } from './station-message.ts';
import type { StationEnd } from './station-process.ts';

/** What the window says by itself while no station serves it. */
export type Notice =
  | { readonly kind: 'starting' }
  /** The system's key store is asked, by its name, and may wait for a person. */
  | { readonly kind: 'key store'; readonly name: string }
  | { readonly kind: 'restarting' }
  | {
      readonly kind: 'failing';
      /** The station's own words, for a fault without words of the window. */
      readonly reason: string;
      readonly fault?: StationFault | undefined;
      readonly nextTrySeconds: number;
    };

export type NoticeLanguage = 'en' | 'de';

interface NoticeTexts {
  readonly starting: string;
  readonly startingMore: string;
  readonly keyStore: string;
  keyStoreMore(name: string): string;
  readonly restarting: string;
  readonly restartingMore: string;
  readonly failing: string;
  failingMore(seconds: number): string;
}

const texts: Readonly<Record<NoticeLanguage, NoticeTexts>> = {
  en: {
    starting: 'The station is starting',
    startingMore: 'One moment.',
    keyStore: 'The key store is still to be opened',
    keyStoreMore: (name) =>
      `The signing key lies locked in the key store of this account (${name}). Enter its password in the dialog of the system, which may lie behind this window; the station starts then. Nothing is lost.`,
    restarting: 'The station stopped and is restarting',
    restartingMore: 'Captured readings are kept. The job goes on at the same step.',
    failing: 'The station does not start',
    failingMore: (seconds) =>
      `Next try in ${seconds} s. If it stays like this, tell the lead what stands below.`,
  },
  de: {
    starting: 'Die Station startet',
    startingMore: 'Einen Augenblick.',
    keyStore: 'Der Schlüsselspeicher ist noch zu öffnen',
    keyStoreMore: (name) =>
      `Der Signierschlüssel liegt verschlossen im Schlüsselspeicher dieses Kontos (${name}). Sein Kennwort im Fenster des Systems eingeben, das hinter diesem liegen kann; dann startet die Station. Nichts ist verloren.`,
    restarting: 'Die Station wurde beendet und startet neu',
    restartingMore: 'Erfasste Werte sind gesichert. Der Auftrag geht beim selben Schritt weiter.',
    failing: 'Die Station startet nicht',
    failingMore: (seconds) =>
      `Nächster Versuch in ${seconds} s. Bleibt es dabei, der Leitung sagen, was unten steht.`,
  },
};

/** What is known when a station ended unasked. */
export interface Loss {
  readonly end: StationEnd;
  /** In a row so far, 1 for the first. */
  readonly failures: number;
  readonly nextTryMilliseconds: number;
  /** A station has answered since the program started. */
  readonly hasAnswered: boolean;
  readonly upMilliseconds: number;
}

/** So long after the start of the program a station may stumble without people being told why. */
const hiccupMilliseconds = 10_000;

/** What people are told of it: nobody calls it a restart when none has worked since they wait. */
export function noticeOfLoss({ end, failures, nextTryMilliseconds, ...now }: Loss): Notice {
  const isHiccup = failures < 3 && (now.hasAnswered || now.upMilliseconds < hiccupMilliseconds);
  if (isHiccup) return { kind: 'restarting' };
  const nextTrySeconds = Math.ceil(nextTryMilliseconds / 1000);
  return { kind: 'failing', reason: reasonOf(end), fault: end.fault, nextTrySeconds };
}

/** Why it ended, in its own words. */
export function reasonOf({ how, lastWords }: StationEnd): string {
  return lastWords === '' ? how : `${how}: ${lastWords}`;
}

/** The language of the notices for a locale such as `de-AT`. */
export function noticeLanguage(locale: string): NoticeLanguage {
  return locale.toLowerCase().startsWith('de') ? 'de' : 'en';
}

/**
 * A page of its own, as an address: it needs no station, no file and no script. Said in words, by shape (a
 * triangle for trouble, a ring for waiting) and by colour.
 */
export function noticeAddress(notice: Notice, language: NoticeLanguage): string {
  return `data:text/html;charset=utf-8,${encodeURIComponent(noticePage(notice, language))}`;
}

function noticePage(notice: Notice, language: NoticeLanguage): string {
  const { title, more, reason, reasonIn } = wordsOf(notice, language);
  const isTrouble = notice.kind !== 'starting';
  const shape = isTrouble
    ? '<path d="M50 8 96 92H4Z"/><path class="mark" d="M50 36v28M50 74v8"/>'
    : '<circle class="ring" cx="50" cy="50" r="38"/>';
  return `<!doctype html>
<html lang="${language}">
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'">
<title>Bandwright</title>
<style>
  :root { color-scheme: light dark; --ground: #f4f4f1; --ink: #1b1f23; --sign: #8a4b00; }
  @media (prefers-color-scheme: dark) { :root { --ground: #14171a; --ink: #f1f1ec; --sign: #ffb454; } }
  body { margin: 0; min-height: 100vh; display: grid; place-content: center; justify-items: center; gap: 32px;
    padding: 32px; box-sizing: border-box; text-align: center; background: var(--ground); color: var(--ink);
    font: 36px/1.35 system-ui, sans-serif; }
  svg { width: 160px; height: 160px; fill: var(--sign); }
  .mark { fill: none; stroke: var(--ground); stroke-width: 9; }
  .ring { fill: none; stroke: var(--sign); stroke-width: 10; stroke-dasharray: 60 20; }
  h1 { margin: 0; font-size: 56px; }
  p { margin: 0 auto; max-width: 32em; }
  code { font-size: 28px; overflow-wrap: anywhere; }
</style>
<svg viewBox="0 0 100 100" aria-hidden="true">${shape}</svg>
<main role="${isTrouble ? 'alert' : 'status'}"><h1>${escapeHtml(title)}</h1><p>${escapeHtml(more)}</p>${
    reason === '' ? '' : `<p><${reasonIn}>${escapeHtml(reason)}</${reasonIn}></p>`
  }</main>
</html>`;
}

function wordsOf(
  notice: Notice,
  language: NoticeLanguage,
): { title: string; more: string; reason: string; reasonIn?: 'b' | 'code' } {
  const words = texts[language];
  switch (notice.kind) {
    case 'starting':
      return { title: words.starting, more: words.startingMore, reason: '' };
    case 'key store':
      return { title: words.keyStore, more: words.keyStoreMore(notice.name), reason: '' };
    case 'restarting':
      return { title: words.restarting, more: words.restartingMore, reason: '' };
    case 'failing': {
      const known = notice.fault === undefined ? undefined : faultWords(notice.fault, language);
      const more = words.failingMore(notice.nextTrySeconds);
      return known === undefined
        ? { title: words.failing, more, reason: notice.reason, reasonIn: 'code' }
        : { title: words.failing, more, reason: known, reasonIn: 'b' };
    }
  }
}

function escapeHtml(text: string): string {
  return text.replace(/[&<>"']/g, (character) => `&#${character.charCodeAt(0)};`);
}

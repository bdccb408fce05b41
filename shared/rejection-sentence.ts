import { type RejectionReason, rejectionReasonOf } from './indication.ts';
import type { LocalizedText } from './sheet/localized-text.ts';

/** What a refusal means for the technician and what to do, one sentence or two. A missing one does not compile. */
export const rejectionSentences: Readonly<Record<RejectionReason, LocalizedText>> = {
  first_partial: {
    en: 'The connection began in the middle of a line, so this piece is not believed. Nothing to do: wait for the next line.',
    de: 'Die Verbindung begann mitten in einer Zeile, darum gilt dieses Stück nicht. Nichts zu tun: die nächste Zeile abwarten.',
  },
  cut_by_reconnect: {
    en: 'The cable or port was lost in the middle of a line. Check the plug and repeat the reading.',
    de: 'Kabel oder Anschluss ging mitten in einer Zeile verloren. Stecker prüfen und Ablesung wiederholen.',
  },
  unfinished: {
    en: 'The data stopped before the line was complete. Repeat the reading.',
    de: 'Die Daten endeten, bevor die Zeile vollständig war. Ablesung wiederholen.',
  },
  truncated: {
    en: 'A new message began before the old one was complete. If it happens often, check the cable and the baud rate.',
    de: 'Eine neue Nachricht begann, bevor die alte vollständig war. Bei häufigem Auftreten Kabel und Baudrate prüfen.',
  },
  outside_frame: {
    en: 'Bytes arrived between two messages and belong to none. If it happens often, check the cable and that the right profile is chosen.',
    de: 'Zwischen zwei Nachrichten kamen Bytes, die zu keiner gehören. Bei häufigem Auftreten Kabel und gewähltes Profil prüfen.',
  },
  too_long: {
    en: 'A line did not end where it should. Check that the right profile and port settings are chosen.',
    de: 'Eine Zeile endete nicht, wo sie sollte. Gewähltes Profil und Schnittstellen-Einstellungen prüfen.',
  },
  noise: {
    en: 'The line holds disturbed characters. Check cable, ground, baud rate and parity; repeat the reading.',
    de: 'Die Zeile enthält gestörte Zeichen. Kabel, Masse, Baudrate und Parität prüfen; Ablesung wiederholen.',
  },
  checksum_bad: {
    en: 'The check byte does not fit the message: it was damaged on the way. Repeat the reading; check the cable if it happens often.',
    de: 'Das Prüfzeichen passt nicht zur Nachricht: sie wurde unterwegs beschädigt. Ablesung wiederholen; bei häufigem Auftreten Kabel prüfen.',
  },
  no_match: {
    en: 'The line does not have the form that the profile describes. Check the output format set in the instrument, or teach its profile.',
    de: 'Die Zeile hat nicht die Form, die das Profil beschreibt. Ausgabeformat am Gerät prüfen oder das Profil anlernen.',
  },
  not_a_reading: {
    en: 'The instrument sent a status or heading line, not a reading. Nothing to do.',
    de: 'Das Gerät sandte eine Status- oder Kopfzeile, keine Ablesung. Nichts zu tun.',
  },
  unknown_status: {
    en: 'The status mark of the line is not in the profile, so it cannot be said whether the reading counts. Look at the display; teach the profile.',
    de: 'Das Statuszeichen der Zeile steht nicht im Profil, darum ist offen, ob die Ablesung gilt. Anzeige ansehen; Profil anlernen.',
  },
  unit_missing: {
    en: 'The line carries no unit; many scales leave it out until they settle. Wait until the display is steady.',
    de: 'Die Zeile trägt keine Einheit; viele Waagen lassen sie weg, bis sie ruhig stehen. Warten, bis die Anzeige ruhig ist.',
  },
  unit_not_allowed: {
    en: 'The instrument is set to a unit that its profile does not allow. Set the instrument back to the agreed unit.',
    de: 'Das Gerät steht auf einer Einheit, die sein Profil nicht zulässt. Gerät auf die vereinbarte Einheit zurückstellen.',
  },
  out_of_range: {
    en: 'The value lies outside what this instrument can measure. Check the load and the profile’s range.',
    de: 'Der Wert liegt außerhalb des Messbereichs dieses Geräts. Belastung und Bereich im Profil prüfen.',
  },
  overload: {
    en: 'The instrument reports overload. Take the load off at once and check the instrument before you use it again.',
    de: 'Das Gerät meldet Überlast. Sofort entlasten und das Gerät prüfen, bevor es wieder benutzt wird.',
  },
  underload: {
    en: 'The instrument reports a value below its zero. Check that the pan is in place and free, then zero it.',
    de: 'Das Gerät meldet einen Wert unter seinem Nullpunkt. Prüfen, ob die Schale liegt und frei ist, dann nullstellen.',
  },
  busy: {
    en: 'The instrument has no settled value yet. Keep it still; the station asks again.',
    de: 'Das Gerät hat noch keinen ruhigen Wert. Ruhig stehen lassen; die Station fragt erneut.',
  },
  instrument_error: {
    en: 'The instrument reports an error. Look at its display and its manual before you go on.',
    de: 'Das Gerät meldet einen Fehler. Anzeige und Anleitung ansehen, bevor es weitergeht.',
  },
  duplicate: {
    en: 'The same pull was sent twice; it counts once. Nothing to do.',
    de: 'Derselbe Zug wurde zweimal gesendet; er zählt einmal. Nichts zu tun.',
  },
  stale_replay: {
    en: 'The instrument sent an old reading from its memory again; it is not a new pull. Pull again if you expected one.',
    de: 'Das Gerät sandte eine alte Ablesung aus dem Speicher erneut; es ist kein neuer Zug. Erneut ziehen, falls einer erwartet war.',
  },
  ticket_incomplete: {
    en: 'Lines of the printed ticket are missing, so its net value does not count. Print it again.',
    de: 'Zeilen des Belegs fehlen, darum gilt sein Nettowert nicht. Beleg erneut drucken.',
  },
  ticket_inconsistent: {
    en: 'Gross minus tare is not the net on the ticket, or the units differ. Print it again; if it stays so, have the scale checked.',
    de: 'Brutto minus Tara ergibt nicht das Netto des Belegs, oder die Einheiten sind verschieden. Erneut drucken; bleibt es so, die Waage prüfen lassen.',
  },
  dump_count_mismatch: {
    en: 'The memory list has another number of lines than it announced, so it is doubtful. Ask for it again.',
    de: 'Die Speicherliste hat eine andere Zeilenzahl als angekündigt und ist darum zweifelhaft. Erneut abfragen.',
  },
  refused_by_profile: {
    en: 'The instrument sent a line that its profile refuses. Look at the instrument’s display and at the profile’s note.',
    de: 'Das Gerät sandte eine Zeile, die sein Profil ablehnt. Anzeige des Geräts und Hinweis im Profil ansehen.',
  },
};

/** The sentence for a rejection's word; a profile's own word is named in it. */
export function rejectionSentence(refused: string, language: keyof LocalizedText): string {
  const reason = rejectionReasonOf(refused);
  const sentence = rejectionSentences[reason][language];
  return reason === refused ? sentence : `${sentence} (${refused})`;
}

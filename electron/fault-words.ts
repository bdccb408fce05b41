import type { NoticeLanguage } from './notice.ts';
import type { StoreFaultCode } from './station/store/store-fault.ts';
import type { StationFault } from './station-message.ts';

type FaultTexts = Readonly<Record<StoreFaultCode, string>>;

/** Why a station does not start, and what to do; `{name}` is a value of the fault. */
const texts: Readonly<Record<NoticeLanguage, FaultTexts>> = {
  en: {
    held: 'Another station already works in this data folder. Use that one, or name another folder.',
    busy: 'Another program holds the database. Close it.',
    read_only: 'The data folder may not be written. Have its rights, and the disk, looked at.',
    disk_full: 'The disk is full. Make room.',
    disk_error: 'The disk does not read or write. Have it looked at.',
    cannot_open: 'The database cannot be opened. Have the path and the rights of the data folder looked at.',
    no_database: 'The data folder holds no database. Name the right folder.',
    not_ours: 'The database file belongs to another program. Name another data folder.',
    newer_schema:
      'A newer version of this program wrote the database (schema {schema}; this one knows {known}). Start that version.',
    older_schema: 'An older version of this program wrote the database, and it was not brought up.',
    damaged:
      'The database is damaged, or some of its files are missing. Keep what is there; an administrator restores the newest backup.',
    key_unusable:
      'The file of the signing key holds no usable key. An administrator puts the right file back.',
    key_locked:
      'The signing key lies in the key store of this account ({store}), which does not open. Sign in with the password, or unlock the key store. Nothing is lost.',
    key_lost:
      'The signing key of this station is missing, or this account cannot unlock it. An administrator puts its file back, starts in the account that locked it, or goes on with a new key (“key replace”).',
  },
  de: {
    held: 'In diesem Datenordner arbeitet schon eine Station. Diese benutzen, oder einen anderen Ordner nennen.',
    busy: 'Ein anderes Programm hält die Datenbank. Es schließen.',
    read_only:
      'In den Datenordner darf nicht geschrieben werden. Seine Rechte und den Datenträger prüfen lassen.',
    disk_full: 'Der Datenträger ist voll. Platz schaffen.',
    disk_error: 'Der Datenträger liest oder schreibt nicht. Ihn prüfen lassen.',
    cannot_open: 'Die Datenbank lässt sich nicht öffnen. Pfad und Rechte des Datenordners prüfen lassen.',
    no_database: 'Im Datenordner ist keine Datenbank. Den richtigen Ordner nennen.',
    not_ours: 'Die Datenbankdatei gehört einem anderen Programm. Einen anderen Datenordner nennen.',
    newer_schema:
      'Eine neuere Version dieses Programms hat die Datenbank geschrieben (Schema {schema}; diese kennt {known}). Jene Version starten.',
    older_schema:
      'Eine ältere Version dieses Programms hat die Datenbank geschrieben, und sie wurde nicht angehoben.',
    damaged:
      'Die Datenbank ist beschädigt, oder es fehlen Dateien von ihr. Aufheben, was da ist; ein Administrator spielt die neueste Sicherung zurück.',
    key_unusable:
      'Die Datei des Signierschlüssels enthält keinen brauchbaren Schlüssel. Ein Administrator legt die richtige Datei zurück.',
    key_locked:
      'Der Signierschlüssel liegt im Schlüsselspeicher dieses Kontos ({store}), und der öffnet sich nicht. Mit Kennwort anmelden, oder den Schlüsselspeicher entsperren. Nichts ist verloren.',
    key_lost:
      'Der Signierschlüssel dieser Station fehlt, oder dieses Konto kann ihn nicht entsperren. Ein Administrator legt seine Datei zurück, startet in dem Konto, das ihn gesperrt hat, oder macht mit einem neuen Schlüssel weiter („key replace“).',
  },
};

/** The fault in words of the language; undefined for a code without words. */
export function faultWords({ code, values }: StationFault, language: NoticeLanguage): string | undefined {
  if (!Object.hasOwn(texts[language], code)) return undefined;
  return texts[language][code as StoreFaultCode].replace(/\{(\w+)\}/g, (whole, name: string) =>
    String(Object.hasOwn(values, name) ? values[name] : whole),
  );
}

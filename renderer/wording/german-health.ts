import type { englishHealth } from './english-health.ts';

/** Texts of the health screen, in German. */
export const germanHealth = {
  'screen.health': 'Zustand',
  'action.lookAgain': 'Erneut nachsehen',
  'health.table': 'Was angesehen wurde',
  'health.subject': 'Gegenstand',
  'health.verdict': 'Urteil',
  'health.sentence': 'Befund',
  'health.looking': 'Es wird nachgesehen … Bei großer Datenbank dauert das.',
  'health.failed': 'Es konnte nicht nachgesehen werden. Erneut nachsehen.',
  'health.otherRole': 'Diese Seite ist für Leitung, Prüfung und Verwaltung.',
  'health.lookedAt': 'Nachgesehen: {at}.',
  'health.allGood': 'Niemand muss etwas tun.',
  'health.someBad': 'Jemand muss handeln: {count} von {total}.',
  'health.more': 'Mehr sagt der Befehl „doctor“ auf diesem Rechner.',
  'health.verdict.good': 'gut',
  'health.verdict.note': 'Hinweis',
  'health.verdict.bad': 'SCHLECHT',
  'health.of.versions': 'Versionen',
  'health.of.ports': 'Anschlüsse',
  'health.of.HID scales': 'HID-Waagen',
  'health.of.data folder': 'Datenordner',
  'health.of.disk': 'Datenträger',
  'health.of.station': 'Station',
  'health.of.database': 'Datenbank',
  'health.of.signed end': 'Signiertes Ende',
  'health.of.signing key': 'Signierschlüssel',
  'health.of.clock': 'Uhr',
  'health.of.last verify': 'Letzte Prüfung',
  'health.of.backups': 'Sicherungen',
  'health.of.log': 'Protokoll',
  'health.of.site': 'Zentraler Speicher',
  'health.is.failed': 'Konnte nicht angesehen werden; „doctor“ sagt, warum.',
  'health.is.versions': 'Bandwright {version}, Schema {schema}, {host}, {platform}.',
  'health.is.portsShut':
    'Darf dieser Benutzer nicht öffnen: {ports}. Den Benutzer in die Gruppe aufnehmen, der sie gehören (unter Linux oft dialout), und neu anmelden.',
  'health.is.portsNone': 'Keine serielle Schnittstelle und keine HID-Waage ist eingesteckt.',
  'health.is.portsListed': 'Benutzbar: {ports}.',
  'health.is.hidReady': 'Würden gefunden, wenn sie eingesteckt werden.',
  'health.is.hidLibraryMissing':
    'Können nicht gesucht werden: {library} fehlt. Das Debian-Paket {package} installieren lassen.',
  'health.is.hidFailed': 'Können nicht gesucht werden; "doctor" sagt, warum.',
  'health.is.folderMissing': 'Ist noch nicht da; der erste Start legt ihn an.',
  'health.is.folderShut': 'Dieser Benutzer darf nicht hineinschreiben. Die Rechte ändern.',
  'health.is.folderOpenToOthers': 'Andere Benutzer können hineinsehen (Rechte {mode}). Auf 700 setzen.',
  'health.is.folderGood': 'Gehört nur diesem Benutzer und ist beschreibbar.',
  'health.is.diskLow': 'Nur {size} sind frei. Platz schaffen, bevor der Datenträger voll ist.',
  'health.is.diskGood': '{size} sind frei.',
  'health.is.stationNever': 'Hat hier noch nicht gearbeitet.',
  'health.is.stationWorking': 'Arbeitet jetzt in dem Ordner.',
  'health.is.stationIdle': 'Keine arbeitet jetzt in dem Ordner.',
  'health.is.databaseMissing': 'Ist noch nicht da; der erste Start legt sie an.',
  'health.is.databaseDamaged':
    'Die Datei ist beschädigt. Prüfen zeigt mehr; die neueste Sicherung zurückholen.',
  'health.is.databaseFault': 'Ist jetzt nicht lesbar; „doctor“ sagt, warum und was zu tun ist.',
  'health.is.databaseGood': '{events} Ereignisse, {size}, SQLite {sqlite}. Die Schnellprüfung fand nichts.',
  'health.is.endUnreadable': 'Ist nicht lesbar; die Station schreibt es mit dem nächsten Ereignis neu.',
  'health.is.endWithoutEvidence': 'Es gibt keine Nachweise zum Vergleichen.',
  'health.is.endMissing': 'Fehlt; die Station schreibt es mit dem nächsten Ereignis.',
  'health.is.endCutOff':
    'Die Datenbank endet mit Ereignis {lastSequence}, geschrieben wurden {sequence}: das Ende fehlt. Die neueste Sicherung zurückholen.',
  'health.is.endGood': 'Ereignis {sequence} von {lastSequence}.',
  'health.is.keyLocked':
    'Ist gesperrt, und der Schlüsselspeicher dieses Kontos öffnet sich nicht. Ihn entsperren; „key --help“ sagt mehr.',
  'health.is.keyLost':
    'Seine private Hälfte ist verloren. Die Datei zurücklegen; sonst hilft „key --help“ weiter.',
  'health.is.keyUnusable':
    'Seine Datei enthält keinen brauchbaren Schlüssel. Die richtige zurücklegen; sonst hilft „key --help“ weiter.',
  'health.is.keyMissing': 'Ist noch nicht da; der erste Start legt ihn an.',
  'health.is.keyOpenToOthers':
    'Andere können seine Datei lesen (Rechte {mode}) und damit signieren. Auf 600 setzen und an einen neuen Schlüssel denken.',
  'health.is.keyInFile': 'Benutzbar, einfache Datei, Rechte {mode}, Kennung {keyId}…',
  'health.is.keyInStore':
    'Benutzbar, gesperrt vom Schlüsselspeicher dieses Kontos, Rechte {mode}, Kennung {keyId}…',
  'health.is.clockWrong': '{at} kann nicht stimmen. Die Uhr stellen.',
  'health.is.clockBehind':
    '{at} liegt vor dem letzten Ereignis ({lastEventAt}). Die Uhr stellen. Die Reihenfolge bleibt, und der Sprung ist vermerkt.',
  'health.is.clockGood': '{at}, {timeZone}.',
  'health.is.verifyNever': 'Keine ist bekannt. Unter „Nachweise“ prüfen.',
  'health.is.verifyBroken':
    '{at}: NICHT UNVERSEHRT, {problems} Befunde. Unter „Nachweise“ prüfen, um sie zu sehen.',
  'health.is.verifyOld': '{at}: unversehrt, {events} Ereignisse. Das war vor {days} Tagen; erneut prüfen.',
  'health.is.verifyGood': '{at}: unversehrt, {events} Ereignisse.',
  'health.is.backupPlanBad': 'Der Plan ist nicht brauchbar; „doctor“ sagt, was daran falsch ist.',
  'health.is.backupsNone':
    'Keine sind geplant. „backup --help“ sagt, wie; auf einem anderen Datenträger aufbewahren.',
  'health.is.backupsNeverMade':
    'Sie sind geplant, aber am vorgesehenen Ort ist keine. Den Datenträger dort ansehen.',
  'health.is.backupsLate':
    'Alle {everyHours} h, aber die neueste ist {hours} h alt. Jenen Datenträger und das Protokoll ansehen.',
  'health.is.backupsGood': 'Alle {everyHours} h, die neueste vor {hours} h.',
  'health.is.logErrors': '{errors} Fehler im Protokoll, {crashes} Absturzberichte. „log-bundle“ sammelt sie.',
  'health.is.logGood': 'Keine Fehler im Protokoll, keine Absturzberichte.',
  'health.is.siteFileBad': 'Seine Einstellungen sind nicht brauchbar; „doctor“ sagt, was daran falsch ist.',
  'health.is.siteNeverPushed': 'Noch nichts wurde in den zentralen Speicher gebracht.',
  'health.is.siteConnecting': '{at}: wird verbunden.',
  'health.is.siteUnreachable':
    '{at}: nicht erreichbar. Von selbst folgt ein neuer Versuch; die Werkbank arbeitet weiter.',
  'health.is.sitePushing': '{at}: Ereignis {sequence} von {lastSequence} ist im zentralen Speicher.',
  'health.is.siteUpToDate': '{at}: alles bis Ereignis {sequence} ist im zentralen Speicher.',
  'health.is.siteStopped': '{at}: ANGEHALTEN. „site status“ sagt, warum und was zu tun ist.',
} as const satisfies Record<keyof typeof englishHealth, string>;

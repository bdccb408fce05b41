import type { englishFindings } from './english-findings.ts';

/** What a check of the evidence finds, in German. */
export const germanFindings: typeof englishFindings = {
  'finding.eventUnreadable': 'Eintrag {event} lässt sich nicht lesen: Dort ist die Datenbankdatei beschädigt',
  'finding.eventColumnsAltered': 'Eintrag {event} wurde verändert: So schreibt keine Station seine Spalten',
  'finding.eventEmpty': 'Eintrag {event} enthält kein Ereignis einer Station',
  'finding.eventAltered': 'Eintrag {event} ({kind}) wurde verändert: Seine Prüfsumme passt nicht',
  'finding.eventHashedAnew':
    'Eintrag {event} wurde verändert und neu mit Prüfsumme versehen: Eintrag {next} nennt noch den, der dort war',
  'finding.eventMoved': 'Eintrag {event} wurde von Platz {from} dorthin verschoben',
  'finding.eventNotOfStation': 'Eintrag {event} ({kind}) ist nicht, was eine Station schreibt: {message}',
  'finding.eventWrittenAnew':
    'Eintrag {event} wurde ohne den Schlüssel der Station neu geschrieben; jede Prüfsumme ab dort wurde neu gemacht',
  'finding.eventsWrittenAnew':
    'Einträge {first} bis {last} wurden ohne den Schlüssel der Station neu geschrieben; jede Prüfsumme ab dort wurde neu gemacht',
  'finding.beginningRemoved': 'Was vor Eintrag 1 stand, wurde abgeschnitten',
  'finding.eventRemoved': 'Eintrag {event} wurde entfernt',
  'finding.eventsRemoved': 'Einträge {events} wurden entfernt',
  'finding.eventRemovedNameless': 'Eintrag {event} wurde entfernt; nichts nennt mehr seine Arbeit',
  'finding.eventsRemovedNameless': 'Einträge {events} wurden entfernt; nichts nennt mehr ihre Arbeit',
  'finding.eventRemovedAmong':
    'Eintrag {event} wurde entfernt, unter Einträgen {first} bis {last}; nichts nennt mehr seine Arbeit',
  'finding.eventsRemovedAmong':
    'Einträge {events} wurden entfernt, unter Einträgen {first} bis {last}; nichts nennt mehr ihre Arbeit',
  'finding.streamEventAltered': 'Eintrag {event} von {stream} wurde verändert: Seine Prüfsumme passt nicht',
  'finding.streamEventsMissing': '{count} der Einträge von {stream} fehlen',
  'finding.rowOfNoStation': 'Ein Eintrag hat Spalten, die keine Station schreibt',
  'finding.streamIncomplete': '{count} von {total} zugehörigen Ereignissen fehlen (die Nummern {numbers})',
  'finding.streamsUncountable':
    'Die zusammengehörigen Ereignisse lassen sich nicht zählen: Die Datenbankdatei ist beschädigt',
  'finding.keyUnusable': 'Eintrag {event} führt keinen brauchbaren Schlüssel ein',
  'finding.keyWithoutVoucher':
    'Ab Eintrag {event} ein anderer Schlüssel, für den keiner bürgt: Nichts zeigt, dass Schlüssel {key} von dem kommt, der Schlüssel {before} hatte. Das allein ist keine Fälschung: die Werkstatt fragen; hat sie den Schlüssel dort verloren, beide mit --key nennen',
  'finding.keyNotTrusted': 'Schlüssel {key} ist keiner von denen, denen getraut wird',
  'finding.indexRowRemoved': 'Seine Zeile im Verzeichnis „{table}“ wurde entfernt',
  'finding.indexRowAltered':
    'Seine Zeile im Verzeichnis „{table}“ wurde verändert: Sie ist nicht, was Eintrag {event} sagt',
  'finding.indexRowAdded': 'Eine Zeile im Verzeichnis „{table}“ gehört zu keinem Eintrag',
  'finding.documentMissing': 'Eintrag {event} nennt Unterlage {document}, die sich nicht lesen lässt',
  'finding.documentRemoved': 'Unterlage {document} wurde entfernt oder lässt sich nicht lesen',
  'finding.documentOfOtherKind': 'Unterlage {document} steht unter einer anderen Art dort',
  'finding.documentUnreadable':
    'Unterlage {place} lässt sich nicht lesen: Dort ist die Datenbankdatei beschädigt',
  'finding.documentColumnsAltered': 'Eine Unterlage wurde verändert: So schreibt keine Station ihre Spalten',
  'finding.documentAltered': 'Unterlage {document} wurde verändert: Ihre Prüfsumme passt nicht',
  'finding.documentAdded':
    'Unterlage {document} wurde hinzugefügt: Kein Eintrag sagt, dass sie abgelegt wurde',
  'finding.recordMissing': 'Der Nachweis (Eintrag {event}) wurde entfernt oder lässt sich nicht lesen',
  'finding.recordUnreadable': 'Nachweis {event} wurde verändert oder lässt sich nicht lesen',
  'finding.recordAltered':
    'Der signierte Nachweis (Eintrag {event}) wurde verändert: Seine Prüfsumme passt nicht',
  'finding.recordAdded':
    'Der Nachweis (Eintrag {event}) wurde hinzugefügt: Kein Eintrag sagt, dass er signiert wurde',
  'finding.recordNotNamed':
    'Der signierte Nachweis (Eintrag {event}) wurde verändert: Er ist nicht der, den die Kette nennt',
  'finding.recordOfUnknownKey':
    'Der Nachweis (Eintrag {event}) nennt einen Schlüssel, den diese Station nie hatte',
  'finding.recordUnsigned': 'Der Nachweis (Eintrag {event}) trägt nicht die Signatur der Station',
  'finding.recordOfOtherKey':
    'Der Nachweis (Eintrag {event}) ist mit einem Schlüssel signiert, der dort nicht signiert',
  'finding.recordNotRebuilt': 'Der Nachweis lässt sich nicht aus seinen Ereignissen herstellen',
  'finding.recordNotOfStation': 'Der Nachweis ist nicht, was eine Station schreibt',
  'finding.recordDiffers': 'Seine Ereignisse wurden verändert: Im signierten Nachweis ist „{field}“ anders',
  'finding.sealUnreadable': 'Das Siegel von Eintrag {event} wurde verändert oder lässt sich nicht lesen',
  'finding.sealBroken':
    'Das Siegel von Eintrag {event} wurde verändert, oder eines davor wurde verändert oder entfernt',
  'finding.sealsRemoved': 'Die Siegel wurden entfernt: Nichts zeigt, dass diese Kette die der Station ist',
  'finding.eventsUnsealed':
    'Eintrag {event} und was folgt wurde hinzugefügt oder sein Siegel entfernt: Die Station hat es nicht gesiegelt',
  'finding.headMissing':
    'Die Datei mit dem signierten Kopf fehlt: Nichts zeigt, ob das Ende der Kette abgeschnitten wurde',
  'finding.headUnreadable': 'Die Datei mit dem signierten Kopf wurde verändert: Sie lässt sich nicht lesen',
  'finding.headUnsigned':
    'Die Datei mit dem signierten Kopf wurde verändert: Sie trägt nicht die Signatur der Station',
  'finding.headOfOtherKey':
    'Der Kopf ist mit Schlüssel {key} signiert, der bei Eintrag {event} nicht signiert',
  'finding.headNamesOther':
    'Eintrag {event} ist nicht der, den der signierte Kopf nennt: Die Kette wurde neu geschrieben',
  'finding.endCutOff': 'Das Ende der Kette wurde abgeschnitten: Eintrag {event} fehlt',
  'finding.longEndCutOff': 'Das Ende der Kette wurde abgeschnitten: Einträge {first} bis {last} fehlen',
  'finding.siteEndCutOff':
    'Das Ende der Kette wurde abgeschnitten: Der zentrale Speicher hatte Einträge bis {event} ({hash})',
  'finding.schemaUnreadable': 'Der Aufbau der Datenbank lässt sich nicht lesen',
  'finding.schemaEntryRemoved': '„{name}“ ({type}) wurde aus der Datenbank entfernt',
  'finding.schemaEntryAltered': '„{name}“ ({type}) wurde in der Datenbank verändert',
  'finding.schemaEntryAdded': '„{name}“ ({type}) wurde von einem anderen Programm in die Datenbank eingefügt',
  'finding.guardRemoved':
    'Die Sperre „{name}“ wurde entfernt: Sie hält Nachweise davon ab, verändert zu werden',
  'finding.guardAltered':
    'Die Sperre „{name}“ wurde verändert: Sie hält Nachweise davon ab, verändert zu werden',
  'finding.fileUncheckable': 'Die Datenbankdatei ist beschädigt: SQLite kann sie nicht prüfen',
  'finding.fileDamaged': 'Die Datenbankdatei ist beschädigt: „{message}“',
  'finding.databaseDamaged': 'Die Datenbank ist beschädigt: „{message}“',
  'finding.readingWithoutProfile': 'Die Ablesung: Das gespeicherte Profil lässt sich nicht lesen',
  'finding.readingEmpty': 'Die Ablesung: Ihre Bytes ergeben nichts, nicht {recorded}',
  'finding.readingDiffers': 'Die Ablesung: Ihre Bytes ergeben {again}, nicht {recorded}',
  'finding.tareWithoutProfile': 'Die Tara: Das gespeicherte Profil lässt sich nicht lesen',
  'finding.tareEmpty': 'Die Tara: Ihre Bytes ergeben nichts, nicht {recorded}',
  'finding.tareDiffers': 'Die Tara: Ihre Bytes ergeben {again}, nicht {recorded}',
  'finding.valueEmpty': 'Anzeige, Tara und Berichtigungen ergeben nichts, nicht {recorded}',
  'finding.valueDiffers': 'Anzeige, Tara und Berichtigungen ergeben {again}, nicht {recorded}',
  'finding.judgementFails': 'Es lässt sich nicht neu beurteilen: „{message}“',
  'finding.decisionDiffers': 'Neu beurteilt ist es „{again}“, nicht „{recorded}“',
  'finding.limitsDiffer': 'Neu beurteilt kommen andere Grenzen oder eine andere Konformität heraus',
};

import type { englishRefusals } from './english-refusals.ts';

/** What is said when something cannot be taken, in German. */
export const germanRefusals: Readonly<Record<keyof typeof englishRefusals, string>> = {
  'refusal.chooseNameFirst': 'Zuerst den Ausweis scannen oder den Namen mit ↑ ↓ wählen.',
  'refusal.serialMissing': 'Noch keine Seriennummer. Scannen oder tippen.',
  'refusal.serialUnknown': 'Keine Seriennummer beginnt mit „{serial}“. Schreibweise prüfen.',
  'refusal.chooseSheetFirst': 'Zuerst den Kopf mit ↑ ↓ wählen.',
  'refusal.chooseAnswerFirst': 'Zuerst Ja oder Nein mit ↑ ↓ wählen.',
  'refusal.choosePartFirst': 'Zuerst mit ↑ ↓ wählen, was aus dem Teil wird.',
  'refusal.reasonMissing': 'Diese Wahl braucht einen Grund. Bitte tippen.',
  'refusal.lotMissing': 'Dieser Schritt braucht ein Gebinde. Scannen oder die Nummer tippen.',
  'refusal.lotSpelling':
    'Eine Gebindenummer hat nur Buchstaben, Ziffern, Punkte und Striche. Noch einmal scannen.',
  'refusal.numberMissing': 'Noch keine Zahl. Bitte tippen.',
  'refusal.numberSpelling': 'Das ist keine Zahl. So schreiben: 12{sign}5, ohne Tausenderzeichen.',
  'refusal.massOutside':
    'Das liegt außerhalb der vollen Zone und kostet einen Versuch. Noch einmal Enter hält es so fest.',
  'refusal.noteMissing': 'Die Notiz ist leer. Bitte tippen.',
  'refusal.pinMissing': 'Die PIN fehlt. Bitte tippen.',
  'scan.unused': 'Es wurde etwas gescannt, wonach hier nichts fragt. Es wurde nicht verwendet.',
  'refusal.fieldMissing': '„{field}“ fehlt. Das Feld ausfüllen.',
  'refusal.unreachable':
    'Die Station ist nicht erreichbar. Nichts wurde geschrieben. Warten, dann noch einmal.',
  'refusal.fault': 'Die Station hat Schwierigkeiten: {message}',
  'fault.busy':
    'Ein anderes Programm hält die Datenbank. Dort schließen, dann wiederholen. Nichts wurde geschrieben.',
  'fault.read_only': 'Die Datenbank ist schreibgeschützt. Rechte des Datenordners richtig setzen lassen.',
  'fault.disk_full': 'Die Platte ist voll, nichts lässt sich schreiben. Platz schaffen, dann wiederholen.',
  'fault.disk_low': 'Die Platte ist fast voll. Vorher Platz schaffen; bis jetzt ist nichts verloren.',
  'fault.disk_error': 'Die Platte liest oder schreibt nicht. Ansehen lassen; nichts wurde geschrieben.',
  'fault.cannot_open': 'Die Datenbank lässt sich nicht öffnen. Den Datenordner ansehen lassen.',
  'fault.damaged': 'Die Datenbank ist beschädigt. Hier nichts mehr schreiben; eine Sicherung zurückholen.',
  'fault.head_lags': 'Der signierte Kopf neben der Datenbank ist zurück. Den Datenordner ansehen lassen.',
  'fault.backup_failed':
    'Die geplante Sicherung wurde nicht gemacht. Den Grund findet die Verwaltung im Protokoll.',
  'fault.remote_shut':
    'Andere Plätze können nicht eingelassen werden. Den Grund findet die Verwaltung im Protokoll.',
  'fault.site_stopped':
    'Zum zentralen Speicher geht nichts mehr, bis dort jemand entschieden hat. Hier geht es weiter; Grund im Protokoll.',
  'fault.site_fork':
    'Im zentralen Speicher steht diese Station anders: Sicherung zurückgeholt oder Ordner kopiert. Die Leitung klärt es.',
  'fault.site_another_chain':
    'Für diese Werkbank steht im zentralen Speicher eine andere Station: neu eingerichtet. Die Leitung lässt sie dort zu.',
  'fault.site_not_yours':
    'Eine andere Werkbank bringt die Nachweise dieser Station: Ordner kopiert. Die Leitung gibt dieser einen eigenen.',
  'fault.site_away':
    'Der zentrale Speicher ist länger nicht erreichbar. Hier geht es weiter; nichts ist verloren.',
  'fault.site_file':
    'Die Einstellungen des zentralen Speichers sind unbrauchbar. Den Grund findet die Verwaltung im Protokoll.',
  'fault.site_publication':
    'Eine Veröffentlichung des zentralen Speichers ist nicht glaubwürdig und wurde nicht übernommen. Siehe Protokoll.',
  'fault.site_conflict':
    'Eine Veröffentlichung des zentralen Speichers widerspricht diesem Platz und ändert hier nichts. Siehe Protokoll.',
  'code.not_stable': 'Die Waage steht noch nicht ruhig. Hände weg, warten, noch einmal Enter.',
  'code.capture_missing': 'Noch keine ruhige Ablesung. Warten, dann noch einmal Enter.',
  'code.tare_missing': 'Noch keine ruhige Ablesung der leeren Schale. Warten, dann noch einmal Enter.',
  'code.tare_not_asked': 'Dieser Schritt nimmt keine Tara durch die Station. Weitermachen.',
  'code.instrument_missing':
    'Für diesen Schritt ist kein Messgerät gewählt. Unter F2, Messgeräte, eines wählen.',
  'code.out_of_date':
    'Die Kalibrierung dieses Messgeräts ist abgelaufen. Ein anderes nehmen oder die Leitung fragen.',
  'code.not_yet_valid':
    'Der Kalibrierschein dieses Messgeräts gilt noch nicht. Ein anderes nehmen oder die Leitung fragen.',
  'code.uncertified':
    'Dieses Messgerät hat keinen Kalibrierschein. Ein anderes nehmen oder die Leitung fragen.',
  'code.retired': 'Dieses Messgerät ist ausgemustert. Ein anderes nehmen.',
  'code.check_failed': 'Dieses Messgerät hat seine Prüfung nicht bestanden. Ursache finden, dann neu prüfen.',
  'code.check_missing': 'Dieses Messgerät wurde heute noch nicht geprüft. Jetzt prüfen.',
  'code.wrong_unit':
    'Das Messgerät zeigt eine Einheit, die zu diesem Schritt nicht passt. Einheit umstellen.',
  'code.no_acceptance_zone':
    'Kein Wert würde angenommen: Dieses Messgerät ist für dieses Band zu unsicher. Ein besseres nehmen.',
  'code.final_pull_missing': 'Noch kein vollständiger Zug. Ziehen, bis der Schlüssel auslöst.',
  'code.pull_missing': 'Noch kein vollständiger Zug. Einmal ruhig ziehen und loslassen.',
  'code.instrument_disconnected': 'Das Messgerät ist nicht verbunden. Kabel und Strom prüfen.',
  'code.instrument_silent': 'Das Messgerät sagt nichts Lesbares. Seine Anzeige und Einstellungen ansehen.',
  'code.no_such_instrument': 'Dieses Messgerät gibt es nicht mehr. Eines der Liste wählen.',
  'code.attempts_exhausted': 'Alle Versuche sind verbraucht. Leitung fragen, unter F7.',
  'code.job_moved_on': 'Die Arbeit ist inzwischen weiter. Noch einmal ansehen.',
  'code.version_conflict': 'Die Arbeit ist inzwischen weiter. Noch einmal ansehen.',
  'code.job_held': 'Die Arbeit ist angehalten. Zuerst fortsetzen.',
  'code.job_released': 'Die Arbeit ist schon freigegeben.',
  'code.job_abandoned': 'Die Arbeit ist abgebrochen. Eine neue beginnen.',
  'code.job_voided': 'Die Arbeit ist ungültig. Eine neue beginnen.',
  'code.not_holder': 'Eine andere Person hat diese Arbeit in der Hand. Zuerst übergeben lassen.',
  'code.not_allowed': 'Das verlangt eine andere Rolle. Eine Person fragen, die sie hat.',
  'code.not_signed_in': 'Hier ist niemand angemeldet. Zuerst anmelden.',
  'code.own_concession': 'Niemand gibt die eigene Arbeit sonderfrei. Eine andere Leitung fragen.',
  'code.lead_required': 'Das verlangt eine andere Person mit Leitung. Eine fragen.',
  'code.step_not_failed': 'Dieser Schritt ist nicht durchgefallen; es gibt nichts freizugeben.',
  'code.step_finished': 'Dieser Schritt ist schon fertig.',
  'code.step_waiting': 'Ein früherer Schritt ist noch offen. Zuerst beenden.',
  'code.steps_open': 'Pflichtschritte sind noch offen. Zuerst beenden.',
  'code.pin_required': 'Das verlangt die PIN. Bitte tippen.',
  'code.pin_wrong': 'Die PIN ist falsch. Noch einmal tippen.',
  'code.pin_wait': 'Zu viele falsche PINs. Etwas warten, dann noch einmal.',
  'code.pin_locked': 'Zu viele falsche PINs. Die Verwaltung muss eine neue setzen.',
  'code.pin_not_set': 'Für diese Person ist keine PIN gesetzt. Die Verwaltung muss eine setzen.',
  'code.person_unknown': 'Diese Person oder dieser Ausweis ist hier nicht bekannt. Anders wählen.',
  'code.same_person': 'Diese Person hat die Arbeit schon. Eine andere wählen.',
  'code.second_person_missing': 'Das verlangt eine zweite Person. Eine Leitung um Zustimmung bitten.',
  'code.second_person_not_allowed': 'Die zweite Person muss eine Leitung sein. Eine fragen.',
  'code.no_such_job': 'Diese Arbeit gibt es hier nicht. Die Liste noch einmal ansehen.',
  'code.no_such_event': 'Die Arbeit hat kein solches Ereignis. Eines der Liste wählen.',
  'code.step_not_done': 'Dieser Schritt ist noch nicht fertig; es gibt nichts wieder zu öffnen.',
  'code.lot_missing': 'Dieser Schritt braucht ein Gebinde. Scannen oder die Nummer tippen.',
  'code.lot_unknown': 'Dieses Gebinde ist hier nicht im Bestand. Zuerst annehmen oder ein anderes nehmen.',
  'code.wrong_consumable':
    'Dieses Gebinde ist anderes Material, als der Schritt verlangt. Das richtige nehmen.',
  'code.lot_expired': 'Dieses Gebinde ist abgelaufen. Ein anderes nehmen.',
  'code.lot_blocked': 'Dieses Gebinde ist gesperrt. Ein anderes nehmen.',
  'code.lot_empty': 'Dieses Gebinde ist leer. Ein anderes nehmen.',
  'code.lot_short': 'In diesem Gebinde ist nicht mehr genug. Ein anderes nehmen.',
  'code.too_many_decimals': 'Das sind mehr Nachkommastellen, als der Schritt nimmt. Weniger tippen.',
  'code.serial_in_work': 'Diese Nummer ist schon in Arbeit. Jene Arbeit in die Hand nehmen.',
  'code.sheet_missing': 'Für diesen Kopf ist kein Arbeitsblatt in Kraft. Die Leitung muss eines freigeben.',
  'code.no_record': 'Diese Arbeit hat noch keinen Nachweis. Zuerst freigeben.',
  'code.verify_running': 'Die Prüfung läuft schon. Ergebnis abwarten.',
};

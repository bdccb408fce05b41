/** What those screens say when something cannot be taken, in German. */
export const germanDeskRefusals = {
  'shape.missing': '„{field}“ fehlt. Das Feld ausfüllen.',
  'shape.wrong_type': '„{field}“ hat die falsche Art: {message}.',
  'shape.unknown_field': '„{field}“ ist hier unbekannt. Namen berichtigen oder entfernen.',
  'shape.not_a_day': '„{field}“ ist kein Tag. Wie in der Beschriftung oder wie 2026-03-01 schreiben.',
  'shape.identifier':
    '„{field}“ ist ein Kurzname: Buchstaben, Ziffern, Punkte, Striche und Unterstriche, keine Leerzeichen, höchstens 80. Berichtigen.',
  'shape.not_finite': '„{field}“ muss eine endliche Zahl sein.',
  'shape.other': '„{field}“: {message}.',
  'shape.notJson': 'Das ist kein JSON: {message}',
  'code.pins_differ': 'Die beiden neuen PINs sind verschieden. Beide noch einmal tippen.',
  'code.not_json': 'Das ist kein JSON. Auf Kommas, Anführungszeichen und Klammern achten.',
  'code.not_a_number': 'Das ist keine Zahl. Ohne Tausenderzeichen schreiben.',
  'code.thousands_mark':
    'Diese Zahl hat ein Zeichen, das hier kein Dezimalzeichen ist. Ohne Tausenderzeichen schreiben.',
  'code.empty': 'Es steht noch keine Zahl da. Tippen.',
  'code.other_unit': 'Diese Einheit passt nicht zum Gerät oder Schritt. Eine andere wählen.',
  'code.zero_reference': 'Null prüft nichts. Eine bekannte Masse oder ein bekanntes Drehmoment nehmen.',
  'code.above_capacity': 'Das liegt über dem Messbereich des Geräts. Kleiner wählen.',
  'code.limit_missing':
    'Im Verzeichnis steht keine Fehlergrenze für dieses Gerät. Die größte erlaubte Abweichung angeben.',
  'code.limit_too_wide':
    'Die Grenze ist weiter als die Fehlergrenze im Verzeichnis. Diese oder weniger angeben.',
  'code.no_weight': 'Nur ein Prüfgewicht hat eine Klasse. Weglassen.',
  'code.no_such_weight':
    'Dieser Nennwert steht nicht in der Tabelle der Gewichtsklassen. Ein anderes Gewicht nehmen oder die Klasse weglassen.',
  'code.weight_too_coarse':
    'Dieses Gewicht ist selbst zu ungenau für diese Waage. Eine feinere Klasse nehmen.',
  'code.instrument_retired': 'Dieses Gerät ist ausgemustert. Ein anderes eintragen.',
  'code.serial_number_taken':
    'Ein anderes Gerät hat diese Seriennummer. Erst dessen Eintrag berichtigen oder es ausmustern.',
  'code.wrong_quantity': 'Das Profil misst eine andere Größe. Ein passendes wählen.',
  'code.no_such_profile': 'Dieses Profil gibt es nicht. Eins aus der Liste wählen oder erst einlernen.',
  'code.simulated_instrument': 'Eine echte Werkstatt nimmt kein simuliertes Gerät.',
  'code.not_simulated':
    'Kein Simulator spricht dieses Profil. Ein anderes Profil oder einen Anschluss wählen.',
  'code.other_kind':
    'Eine Waage bleibt eine Waage, ein Schlüssel ein Schlüssel. Ein anderes Gerät eintragen.',
  'code.other_nature': 'Ein simuliertes Gerät bleibt simuliert, ein echtes echt. Ein anderes eintragen.',
  'code.certificate_in_future': 'Der Tag der Kalibrierung kommt erst noch. Berichtigen.',
  'code.certificate_known': 'Dieser Kalibrierschein steht schon im Verzeichnis.',
  'code.nothing_to_concede': 'Das Gerät taugt. Es gibt nichts freizugeben.',
  'code.not_concedable': 'Das lässt sich nicht freigeben: Mit dem Gerät kann nichts beurteilt werden.',
  'code.until_past': 'Diese Zeit ist vorbei. Einen späteren Tag angeben.',
  'code.until_too_late':
    'Eine Sonderfreigabe für ein Gerät gilt höchstens 31 Tage. Einen früheren Tag angeben.',
  'code.no_error_bound': 'Im Verzeichnis steht keine Fehlergrenze für dieses Gerät.',
  'code.no_certificate': 'Es gibt keinen Kalibrierschein, von dem Abweichungen zu nehmen wären.',
  'code.outside_calibration_range': 'Das liegt außerhalb des kalibrierten Bereichs.',
  'code.no_such_person': 'Dieses Konto gibt es nicht. Erst anlegen.',
  'code.person_left': 'Diese Person ist ausgeschieden. Ein neues Konto anlegen.',
  'code.person_known': 'Dieser Kurzname ist vergeben. Einen anderen wählen.',
  'code.badge_taken': 'Dieser Ausweis gehört zu einem anderen Konto. Einen anderen nehmen.',
  'code.pin_shape': 'Eine PIN hat 4 bis 12 Ziffern. Eine andere wählen.',
  'code.pin_too_plain':
    'Eine PIN aus gleichen oder fortlaufenden Ziffern ist sofort erraten. Eine andere wählen.',
  'code.pin_not_hashed': 'Die neue PIN ist nicht angekommen. Noch einmal tippen.',
  'code.own_account': 'Niemand schließt das eigene Konto. Eine andere Verwaltung fragen.',
  'code.last_administrator':
    'Das ist die letzte Verwaltung, die sich anmelden kann. Erst eine andere einrichten.',
  'code.no_such_lot': 'Dieses Gebinde gibt es nicht. Erst annehmen.',
  'code.lot_known': 'Dieses Gebinde ist schon im Lager. Einer zweiten Lieferung eine eigene Nummer geben.',
  'code.lot_open': 'Dieses Gebinde ist schon geöffnet.',
  'code.no_such_sheet': 'Diese Fassung gibt es nicht. Die Liste noch einmal ansehen.',
  'code.own_sheet': 'Niemand gibt das eigene Blatt frei. Eine andere Leitung fragen.',
  'code.sheet_known': 'Ein Blatt hat diesen Kurznamen schon. Einen anderen wählen.',
  'code.wrong_status': 'Die Fassung ist inzwischen in einem anderen Zustand. Die Liste noch einmal ansehen.',
  'code.wrong_revision': 'Inzwischen ist eine andere Fassung an der Reihe. Die Liste noch einmal ansehen.',
  'code.other_sheet': 'Das ist ein anderes Blatt.',
  'code.wrong_head': 'Ein Blatt bleibt bei seinem Kopf. Als anderes Blatt kopieren.',
  'code.no_such_port': 'Dieser Anschluss ist nicht mehr da. Die Liste noch einmal ansehen.',
  'code.port_held': 'Ein Gerät dieser Station belegt den Anschluss. Einen anderen wählen.',
  'code.hid_not_taught': 'Eine HID-Waage braucht kein Einlernen. Mit ihrem Profil eintragen.',
  'code.not_listening': 'Kein Anschluss wird abgehört. Erst einen wählen und abhören.',
  'code.name_built_in': 'Ein eingebautes Profil hat diesen Namen. Einen anderen wählen.',
  'code.no_lines': 'Es kamen keine Zeilenenden. Baudrate und Parität prüfen oder länger abhören.',
  'code.no_number': 'Es kam keine Zeile mit einer Zahl. Gewicht auflegen oder die Drucktaste drücken.',
  'code.display_not_found': 'Keine der letzten Zeilen zeigt diese Zahl. Noch einmal auf die Anzeige sehen.',
  'code.display_moved':
    'Die Zeilen haben seit dieser Zahl den Zustand gewechselt. Die Anzeige einige Sekunden stehen lassen und noch einmal ablesen.',
  'code.unit_disagrees': 'Die Zeile nennt eine andere Einheit. Noch einmal auf die Anzeige sehen.',
  'code.state_disagrees':
    'Keine Spalte der Zeilen unterscheidet Ruhe und Bewegung so wie eingetragen. Noch einmal hinsehen.',
  'code.lines_changed': 'Die Zeilen haben andere Spalten als die bestätigten. Alles noch einmal bestätigen.',
  'code.unconfirmed': 'Noch ist nichts bestätigt. Mindestens einmal eintragen, was die Anzeige zeigt.',
  'code.not_proved':
    'Das Profil liest seine eigene Aufnahme nicht wie bestätigt. Noch einmal abhören und bestätigen.',
} as const;

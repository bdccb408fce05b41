/** What is wrong in a service sheet that was not taken, and what to do, in German. */
export const germanSheetFaults = {
  'sheetFault.step': 'Schritt {number}',
  'sheetFault.stepNamed': 'Schritt {number} „{title}“',
  'sheetFault.at': '{where}: {what}',
  'sheetFault.atField': '{where}, „{field}“: {what}',
  'sheetFault.inJson': '{sentence} Im JSON: {path}.',
  'sheetFault.missing': 'Die Angabe fehlt. Ausfüllen.',
  'sheetFault.missingChoice': 'Die Angabe fehlt. Wählen: {choices}.',
  'sheetFault.empty': 'Das Feld ist leer. Ausfüllen.',
  'sheetFault.wrongType.number': '„{given}“ ist keine Zahl. Eine wie 12{sign}5 tippen.',
  'sheetFault.wrongType.int': '„{given}“ ist keine ganze Zahl. Eine ohne Nachkommastellen tippen.',
  'sheetFault.wrongType.string': '„{given}“ ist kein Text. In Anführungszeichen schreiben.',
  'sheetFault.wrongType.boolean': '„{given}“ ist weder true noch false. Eines davon schreiben.',
  'sheetFault.wrongType.array': '„{given}“ ist keine Liste. In eckigen Klammern schreiben.',
  'sheetFault.wrongType.object':
    '„{given}“ gehört nicht hierher. So schreiben wie in der Datei eines anderen Blatts.',
  'sheetFault.not_a_choice': '„{given}“ ist keine der Möglichkeiten. Wählen: {choices}.',
  'sheetFault.unknown_field':
    'Diesen Eintrag gibt es hier in keinem Blatt. Namen berichtigen oder entfernen.',
  'sheetFault.not_finite': 'Das ist keine endliche Zahl. Eine wie 12{sign}5 tippen.',
  'sheetFault.not_sensible':
    'So groß oder klein ist keine Masse und kein Drehmoment. Zahl oder Einheit berichtigen.',
  'sheetFault.too_small.number': '{given} ist zu klein. Mindestens {bound} angeben.',
  'sheetFault.too_small.beyond': '{given} ist zu klein. Mehr als {bound} angeben.',
  'sheetFault.too_small.list': 'Es sind zu wenige. Mindestens {bound} angeben.',
  'sheetFault.too_big.number': '{given} ist zu groß. Höchstens {bound} angeben.',
  'sheetFault.too_big.beyond': '{given} ist zu groß. Weniger als {bound} angeben.',
  'sheetFault.too_big.list': 'Es sind zu viele. Höchstens {bound} angeben.',
  'sheetFault.too_big.string': 'Der Text ist zu lang. Auf {bound} Zeichen kürzen.',
  'sheetFault.format.regex':
    '„{given}“ ist kein Kurzname. Nur Buchstaben, Ziffern, Punkte, Binde- und Unterstriche, höchstens 80.',
  'sheetFault.format.date': '„{given}“ ist kein Tag. Wie 2026-03-01 tippen.',
  'sheetFault.format.base64': 'Das Bild ist beschädigt. Noch einmal wählen.',
  'sheetFault.half_character': 'Der Text enthält ein halbes Zeichen. Neu tippen.',
  'sheetFault.unknown_unit': '„{given}“ ist keine Einheit, die hier bekannt ist. Wählen: {choices}.',
  'sheetFault.outside': '{given} liegt außerhalb. Eine Zahl von {lower} bis {upper} angeben.',
  'sheetFault.no_limits': 'Beide Grenzen fehlen. Mindestens eine angeben.',
  'sheetFault.inverted_limits':
    'Die untere Grenze {lower} liegt nicht unter der oberen Grenze {upper}. Eine von beiden berichtigen.',
  'sheetFault.target_outside':
    'Das Ziel {target} liegt außerhalb der Grenzen. Das Ziel oder die Grenzen berichtigen.',
  'sheetFault.duplicate_step': 'Zwei Schritte haben den Kurznamen „{name}“. Einen umbenennen.',
  'sheetFault.unknown_step': 'Kein Schritt hat den Kurznamen „{name}“. Berichtigen.',
  'sheetFault.circular_order': 'Der Schritt „{name}“ käme nach sich selbst. Einen der Namen herausnehmen.',
  'sheetFault.caution_missing': 'Ein Warnschritt nennt seine Gefahren. Mindestens eine einfügen.',
  'sheetFault.noted_check_mandatory':
    'Eine Prüfung, deren Nein nur notiert wird, kann nicht vorgeschrieben sein. Ein Nein die Arbeit anhalten lassen, oder die Prüfung nicht vorschreiben.',
  'sheetFault.reason_without_choice':
    'Für „{choice}“ wird ein Grund verlangt, aber es ist keine der Möglichkeiten. Die Möglichkeit einfügen, oder sie hier herausnehmen.',
  'sheetFault.measured_step_optional': 'Ein gemessener Schritt ist immer vorgeschrieben. Ankreuzen.',
  'sheetFault.sign_off_optional': 'Eine Unterschrift ist immer vorgeschrieben. Ankreuzen.',
  'sheetFault.wrong_unit.mass': '{unit} ist keine Einheit der Masse. Eine andere wählen.',
  'sheetFault.wrong_unit.torque': '{unit} ist keine Einheit des Drehmoments. Eine andere wählen.',
  'sheetFault.tare_missing': 'Diese Art zu wiegen braucht eine Tara. Wählen, wer sie nimmt.',
  'sheetFault.tare_missing.difference':
    'Die Station nimmt die erste Wägung der Tube als Tara. „durch die Station“ wählen.',
  'sheetFault.threshold_missing':
    'Der erste Zug über einer Schwelle braucht die Schwelle. Mit Einheit angeben.',
  'sheetFault.role_cannot_sign':
    'Die Rolle „{role}“ kann an der Werkbank nicht unterschreiben. Herausnehmen.',
  'sheetFault.consumable_not_named':
    'Kein Schritt davor nimmt ein Gebinde von „{consumableId}“. Einen einfügen, oder den Namen berichtigen.',
  'sheetFault.sign_off_too_early':
    'Schritt „{step}“ kann bei der letzten Unterschrift noch offen sein. Die Unterschrift nach ihm kommen lassen.',
} as const;

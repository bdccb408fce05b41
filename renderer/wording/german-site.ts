import type { englishSite } from './english-site.ts';

/** Texts of the desk of a site, in German. */
export const germanSite = {
  'action.chooseChain': 'Eine Kette prüfen',
  'action.verifyChain': 'Diese Kette prüfen',
  'action.traceLot': 'Dieses Gebinde verfolgen',
  'audit.tab.lots': 'Gebinde',
  'audit.tab.stations': 'Stationen',
  'audit.bench': 'Werkbank',
  'audit.place.branch': '{bench}, Zweig {branch}',
  'audit.place.leftBehind': '{bench}, Zweig {branch}: ZURÜCKGELASSEN',
  'audit.stations.station': 'Station',
  'audit.stations.branch': 'Zweig',
  'audit.stations.forked': '{branch}, begann nach Ereignis {event}',
  'audit.stations.leftBehind': 'zurückgelassen: die Station ging ohne sein Ende weiter',
  'audit.stations.events': 'Ereignisse im zentralen Speicher',
  'audit.stations.received': 'Zuletzt gehört',
  'audit.stations.none': 'Noch keine Station hat etwas in diesen zentralen Speicher gebracht.',
  'audit.verifyNeverSite': 'Von hier aus noch nicht geprüft. Eine Kette wählen, dann Enter drücken.',
  'audit.verifyOf': 'Werkbank {bench}, Station {station}, Zweig {branch}',
  'audit.verifyFetching': 'Die Kette wird geholt: {done} von {total} Ereignissen. F8 hält an.',
  'audit.export.site': 'Von allen Werkbänken, in der Folge der Zeit; jede Messung nennt ihre Werkbank.',
  'audit.export.serial':
    'Für jede Station, die die Nummer hatte, ein eigenes signiertes Paket, das sich selbst prüft.',
  'audit.export.chain':
    'Die ganze Kette dieser Station mit ihren Siegeln, wie ihr eigener Prüfplatz sie ausgibt. Sie wird zuerst geholt; das kann Minuten dauern und braucht doppelt so viel Platz auf der Platte.',
  'audit.export.of': 'Paket für',
  'audit.export.of.serial': 'eine Nummer',
  'audit.lots.hint':
    'Die Nummer eines Gebindes tippen oder scannen, dann Enter: jede Arbeit an jeder Werkbank, in die es ging. Werkbänke, an denen nichts daraus verbraucht wurde, stehen nicht dabei.',
  'audit.lots.count': 'Gebinde {lot}, Arbeiten: {count}.',
  'audit.lots.newest': 'Gebinde {lot}, die neuesten Arbeiten: {count}. Die Suche blättert durch alle.',
  'audit.lots.neverInStock': 'Arbeiten nennen es; im Lager dieser Werkbank war es nie.',
  'refusal.lotOfTrace': 'Die Nummer des Gebindes angeben.',
  'audit.impact.site':
    'Von dieser Werkbank jede Messung mit dem Messgerät; von anderen die, denen einer seiner Kalibrierscheine zugrunde lag.',
  'audit.impact.stations': 'Messungen nach Werkbank',
  'audit.impact.judged': 'Neu beurteilt',
  'audit.impact.changed': 'Entscheidung ändert sich',
  'refusal.chooseStationFirst': 'Zuerst die Werkbank wählen, um die es geht.',
  'refusal.serialOfBundle': 'Die Nummer angeben, für die das Paket gilt.',
  'code.station_missing': 'Zuerst die Werkbank wählen, um die es geht.',
  'code.station_unknown': 'Der zentrale Speicher hat keine solche Station. Eine aus der Liste wählen.',
  'code.bundle_of_serial':
    'Im zentralen Speicher gilt ein Paket einer Nummer oder einer ganzen Kette. Nur diese angeben.',
  'code.chain_unknown': 'Der zentrale Speicher hat keine solche Kette. Eine aus der Liste wählen.',
  'refusal.chooseChainFirst': 'Wählen, wessen Kette geprüft werden soll.',
  'code.chain_missing': 'Wählen, wessen Kette geprüft werden soll.',
  'code.not_at_site':
    'Das gilt einer einzelnen Station. An deren eigenem Prüfplatz fragen oder mit einem Befehl und --station.',
  'code.no_site_desk': 'Das ist der Prüfplatz einer Werkbank. Am Prüfplatz des zentralen Speichers fragen.',
  'fault.site_unreachable':
    'Der zentrale Speicher ist nicht erreichbar. Netz und Server prüfen; von selbst folgt ein neuer Versuch.',
  'fault.site_not_trusted':
    'Der Server beweist nicht, dass er der zentrale Speicher ist. Nichts wurde gefragt; sein Zertifikat prüfen.',
  'fault.site_not_admitted':
    'Der zentrale Speicher lässt diese Anmeldung nicht ein. Ihren Namen und die Kennwortdatei prüfen.',
  'fault.site_no_right':
    'Diese Anmeldung darf den zentralen Speicher nicht lesen. Eine nehmen, die für die Prüfung angelegt ist.',
  'fault.site_no_site_store': 'In dieser Datenbank ist kein zentraler Speicher. Die Adresse prüfen.',
  'fault.site_other_schema':
    'Der zentrale Speicher hat eine andere Version als dieses Programm. Die neuere von beiden nehmen.',
  'fault.site_failed':
    'Der Server des zentralen Speichers konnte nicht antworten. Weniger auf einmal fragen oder in sein Protokoll sehen.',
} as const satisfies Record<keyof typeof englishSite, string>;

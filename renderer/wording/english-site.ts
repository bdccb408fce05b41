/** Texts of the desk of a site, in English. */
export const englishSite = {
  'action.chooseChain': 'Verify a chain',
  'action.verifyChain': 'Verify this chain',
  'audit.tab.stations': 'Stations',
  'audit.bench': 'Bench',
  'audit.place.branch': '{bench}, branch {branch}',
  'audit.place.leftBehind': '{bench}, branch {branch}: LEFT BEHIND',
  'audit.stations.station': 'Station',
  'audit.stations.branch': 'Branch',
  'audit.stations.forked': '{branch}, began behind event {event}',
  'audit.stations.leftBehind': 'left behind: the station went on without its end',
  'audit.stations.events': 'Events at the site',
  'audit.stations.received': 'Last heard of',
  'audit.stations.none': 'No station has brought anything to this site yet.',
  'audit.verifyNeverSite': 'Not verified on this screen yet. Choose a chain, then press Enter.',
  'audit.verifyOf': 'Bench {bench}, station {station}, branch {branch}',
  'audit.verifyFetching': 'Fetching the chain: {done} of {total} events. F8 stops it.',
  'audit.export.site': 'Of all benches, in the order of time; each reading names its bench.',
  'refusal.chooseChainFirst': 'Choose whose chain is to be verified.',
  'code.chain_missing': 'Choose whose chain is to be verified.',
  'code.not_at_site': 'This is about one station. Ask at its own desk, or by a command with --station.',
  'code.no_site_desk': 'This is the desk of a bench. Ask at the desk of the site.',
  'fault.site_unreachable':
    'The site cannot be reached. Check the network and its server; it is tried again by itself.',
  'fault.site_not_trusted':
    'The server does not show that it is the site. Nothing was asked of it; check its certificate.',
  'fault.site_not_admitted': 'The site does not let this login in. Check its name and the password file.',
  'fault.site_no_right': 'This login may not read the site. Use one that was made as auditor.',
  'fault.site_no_site_store': 'There is no site store in this database. Check the address.',
  'fault.site_other_schema':
    'The site store has another version than this program. Use the newer of the two.',
  'fault.site_failed': 'The server of the site could not answer. Ask for less at once, or look into its log.',
} as const;

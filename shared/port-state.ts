/** Where a port stands, in the words of the screens. */
export type PortState = 'closed' | 'opening' | 'open' | 'lost' | 'busy' | 'denied' | 'missing';

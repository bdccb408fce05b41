import type { ListedPort } from '../../../drivers/port/port-list.ts';
import type { PortView } from '../../../shared/teach-view.ts';
import { practicePortId } from './practice-device.ts';

/** A port as screens show it, with the instrument that holds it. */
export function portView(
  { path, identity, knownBy, manufacturer, product }: ListedPort,
  holders: readonly { readonly path: string; readonly name: string }[],
): PortView {
  const { transport, vendorId, productId, serialNumber, byId } = identity;
  return {
    portId: path,
    transport,
    name: [manufacturer, product].filter((part) => part !== undefined).join(' '),
    knownBy,
    identity: {
      path,
      ...(vendorId === undefined ? {} : { vendorId }),
      ...(productId === undefined ? {} : { productId }),
      ...(serialNumber === undefined ? {} : { serialNumber }),
      ...(byId === undefined ? {} : { pnpId: byId }),
    },
    simulated: false,
    heldBy: holders.find((holder) => holder.path === path)?.name ?? null,
  };
}

/** The practice device of a demo workshop. */
export function practicePortView(heldBy: string | null): PortView {
  return {
    portId: practicePortId,
    transport: 'serial',
    name: '',
    knownBy: 'path',
    identity: { path: practicePortId },
    simulated: true,
    heldBy,
  };
}

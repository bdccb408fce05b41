/** What `node-hid` says about a device. */
export interface SystemHidDevice {
  readonly path?: string | undefined;
  readonly vendorId: number;
  readonly productId: number;
  readonly serialNumber?: string | undefined;
  readonly manufacturer?: string | undefined;
  readonly product?: string | undefined;
  readonly usagePage?: number | undefined;
  readonly usage?: number | undefined;
}

/** Why the HID devices of this computer cannot be looked for. */
export interface HidLack {
  /** The shared library that is missing and the Debian package that brings it; null where it is something else. */
  readonly missing: { readonly library: string; readonly package: string } | null;
  /** As the system says it. */
  readonly message: string;
}

export interface HidLook {
  readonly devices: readonly SystemHidDevice[];
  /** Null where they could be looked for. */
  readonly lack: HidLack | null;
}

/** The part of `node-hid` that lists. */
export interface HidLister {
  devicesAsync(): Promise<readonly SystemHidDevice[]>;
}

/** What node-hid's module for the kernel's hidraw is linked to, beside the C library. */
const debianPackages: Readonly<Record<string, string>> = {
  'libusb-1.0.so.0': 'libusb-1.0-0',
  'libudev.so.1': 'libudev1',
};

/** Looks for HID devices. Never throws: where it cannot be looked, it says why. */
export async function lookForHidDevices(
  load: () => Promise<HidLister> = () => import('node-hid'),
): Promise<HidLook> {
  try {
    return { devices: await (await load()).devicesAsync(), lack: null };
  } catch (error) {
    return { devices: [], lack: lackOf(error instanceof Error ? error.message : String(error)) };
  }
}

/** Why HID devices cannot be looked for; null where they can. */
export async function lackOfHid(): Promise<HidLack | null> {
  return (await lookForHidDevices()).lack;
}

/** dlopen(3) names the library first: "libusb-1.0.so.0: cannot open shared object file: No such file or directory". */
function lackOf(message: string): HidLack {
  const library = /^(lib[^\s:]+\.so[.\d]*): /.exec(message)?.[1] ?? '';
  const name = Object.hasOwn(debianPackages, library) ? debianPackages[library] : undefined;
  return { missing: name === undefined ? null : { library, package: name }, message };
}

/** In English, what is wrong and what to do. */
export function hidLackSentence({ missing, message }: HidLack): string {
  return missing === null
    ? `HID devices cannot be looked for: ${message}`
    : `HID devices cannot be looked for: ${missing.library} is missing; install the Debian package ${missing.package}`;
}

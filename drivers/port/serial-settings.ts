/** Settings of a serial port, in the words of an instrument profile. */
export interface SerialSettings {
  readonly baud: number;
  readonly data_bits: 5 | 6 | 7 | 8;
  readonly parity: 'none' | 'even' | 'odd' | 'mark' | 'space';
  readonly stop_bits: 1 | 1.5 | 2;
  /** Hardware flow control. Default off. */
  readonly rtscts?: boolean | undefined;
  /** Drops DTR on closing. Default off: many boards restart when DTR falls. */
  readonly hang_up_on_close?: boolean | undefined;
  /** Sets both modem lines after opening; left alone when absent (some wrenches send an old peak when RTS moves). */
  readonly modem_lines?: { readonly dtr: boolean; readonly rts: boolean } | undefined;
}

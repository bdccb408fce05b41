import { z } from 'zod';

const smallest = 1e-18;
const largest = 1e18;

/**
 * A number as instruments, certificates and people give it. Beyond these sizes nothing is weighed or tightened, and
 * quotients, products and the fourth powers of a budget (JCGM 100:2008, G.4.1) would leave the range of a double.
 */
export const sensibleNumberSchema = z
  .number()
  .refine((value) => value === 0 || (Math.abs(value) >= smallest && Math.abs(value) <= largest), {
    message: `must be zero, or between ${smallest} and ${largest} in size; correct the number or its unit`,
    params: { code: 'not_sensible' },
  });

/** The version of this program, as package.json has it. */
export const programVersion = '0.1.0';

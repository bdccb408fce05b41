// Another program: holds the port named on the command line until its standard input ends.
import { SerialPort } from 'serialport';

const port = new SerialPort({ path: process.argv[2] ?? '', baudRate: 9600, autoOpen: false });
port.on('error', () => undefined);
port.open((error) => {
  process.stdout.write(error === null ? 'held\n' : `${error.message}\n`);
  process.stdin.on('end', () => port.close(() => process.exit(0)));
  process.stdin.resume();
});

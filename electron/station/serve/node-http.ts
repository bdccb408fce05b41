/**
 * Node's HTTP. Not by `import`: that reads every name which the module exports, one of them loads Node's own WebSocket
 * client, and a start takes some 20 ms longer.
 */
export const { createServer } = process.getBuiltinModule('node:http');

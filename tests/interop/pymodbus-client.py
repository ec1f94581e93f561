"""One Modbus TCP request by pymodbus, an implementation that is not ours.

    pymodbus-client.py HOST PORT UNIT FUNCTION ADDRESS COUNT [VALUE...]

Arguments, output and exit code are those of libmodbus-client.c, so that a test can ask both the same.
Written for pymodbus 3.0, as Debian 12 has it.
"""

import json
import sys

from pymodbus.client import ModbusTcpClient
from pymodbus.exceptions import ModbusException

USAGE = "usage: pymodbus-client.py HOST PORT UNIT FUNCTION ADDRESS COUNT [VALUE...]"
TIMEOUT_S = 1


def ask(client, unit, function, address, count, values):
    """Sends the request and returns pymodbus's response object."""
    bits = [value != 0 for value in values]
    requests = {
        1: lambda: client.read_coils(address, count, slave=unit),
        2: lambda: client.read_discrete_inputs(address, count, slave=unit),
        3: lambda: client.read_holding_registers(address, count, slave=unit),
        4: lambda: client.read_input_registers(address, count, slave=unit),
        5: lambda: client.write_coil(address, bits[0], slave=unit),
        6: lambda: client.write_register(address, values[0], slave=unit),
        15: lambda: client.write_coils(address, bits, slave=unit),
        16: lambda: client.write_registers(address, values, slave=unit),
    }
    return requests[function]()


def outcome(response, function, count, values):
    """The JSON value to print: what was read or written, or the exception."""
    if isinstance(response, ModbusException):
        return {"error": str(response)}
    if response.isError():
        return {"exception": response.exception_code}
    if function in (1, 2):
        return {"values": [int(bit) for bit in response.bits[:count]]}
    if function in (3, 4):
        return {"values": response.registers}
    return {"values": values}


def main(arguments):
    if len(arguments) < 6:
        print(USAGE, file=sys.stderr)
        return 2
    host = arguments[0]
    port, unit, function, address, count, *values = map(int, arguments[1:])
    if function not in (1, 2, 3, 4, 5, 6, 15, 16) or (function > 4 and len(values) != count):
        print(USAGE, file=sys.stderr)
        return 2
    client = ModbusTcpClient(host, port=port, timeout=TIMEOUT_S, retries=0)
    if not client.connect():
        print(json.dumps({"error": "cannot connect"}))
        return 1
    try:
        said = outcome(ask(client, unit, function, address, count, values), function, count, values)
    except ModbusException as trouble:
        said = {"error": str(trouble)}
    finally:
        client.close()
    print(json.dumps(said, separators=(",", ":")))
    return 1 if "error" in said else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

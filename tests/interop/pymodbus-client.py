"""Modbus requests by pymodbus, an implementation that is not ours.

    pymodbus-client.py tcp HOST PORT
    pymodbus-client.py rtu+tcp HOST PORT
    pymodbus-client.py rtu DEVICE BAUD PARITY STOP_BITS

Requests, answers and exit codes are those of libmodbus-client.c, so that a test can ask both the same.
Written for pymodbus 3.0, as Debian 12 has it: its release candidate reads 16 and 17 hex but has no method of
its own for 2B, so that request is handed over ready made.
"""

import json
import sys

from pymodbus.client import ModbusSerialClient, ModbusTcpClient
from pymodbus.exceptions import ModbusException
from pymodbus.framer.rtu_framer import ModbusRtuFramer
from pymodbus.mei_message import ReadDeviceInformationRequest

USAGE = "usage: pymodbus-client.py tcp HOST PORT | rtu+tcp HOST PORT | rtu DEVICE BAUD PARITY STOP_BITS"
# It takes whole seconds only.
TIMEOUT_S = 1


def client_of(kind, place, first, *rest):
    """A client for the bus that the arguments name."""
    patience = {"timeout": TIMEOUT_S, "retries": 0}
    if kind == "tcp":
        return ModbusTcpClient(place, port=int(first), **patience)
    if kind == "rtu+tcp":
        return ModbusTcpClient(place, port=int(first), framer=ModbusRtuFramer, **patience)
    parity, stop_bits = rest
    settings = {"baudrate": int(first), "parity": parity[0].upper(), "stopbits": int(stop_bits)}
    return ModbusSerialClient(place, **settings, **patience)


def ask(client, unit, function, address, count, numbers):
    """Sends the request and returns pymodbus's response object."""
    bits = [number != 0 for number in numbers]
    requests = {
        1: lambda: client.read_coils(address, count, slave=unit),
        2: lambda: client.read_discrete_inputs(address, count, slave=unit),
        3: lambda: client.read_holding_registers(address, count, slave=unit),
        4: lambda: client.read_input_registers(address, count, slave=unit),
        5: lambda: client.write_coil(address, bits[0], slave=unit),
        6: lambda: client.write_register(address, numbers[0], slave=unit),
        15: lambda: client.write_coils(address, bits, slave=unit),
        16: lambda: client.write_registers(address, numbers, slave=unit),
        22: lambda: client.mask_write_register(address, numbers[0], numbers[1], unit=unit),
        23: lambda: client.readwrite_registers(
            read_address=address,
            read_count=count,
            write_address=numbers[0],
            write_registers=numbers[1:],
            unit=unit,
        ),
        43: lambda: client.execute(ReadDeviceInformationRequest(count, address, unit=unit)),
    }
    return requests[function]()


def outcome(response, function, count, numbers):
    """The JSON value to print: what was read or written, or the exception."""
    if isinstance(response, ModbusException):
        return {"error": str(response)}
    if response.isError():
        return {"exception": response.exception_code}
    if function in (1, 2):
        return {"values": [int(bit) for bit in response.bits[:count]]}
    if function in (3, 4, 23):
        return {"values": response.registers}
    if function == 22:
        return {"values": [response.and_mask, response.or_mask]}
    if function == 43:
        return {"objects": {str(key): value.decode("ascii") for key, value in response.information.items()}}
    return {"values": numbers}


def main(arguments):
    if len(arguments) not in (3, 5):
        print(USAGE, file=sys.stderr)
        return 2
    client = client_of(*arguments)
    if not client.connect():
        print("no connection", file=sys.stderr)
        return 1
    try:
        for line in sys.stdin:
            unit, function, address, count, *numbers = map(int, line.split())
            try:
                response = ask(client, unit, function, address, count, numbers)
                said = outcome(response, function, count, numbers)
            except ModbusException as trouble:
                said = {"error": str(trouble)}
            print(json.dumps(said, separators=(",", ":")), flush=True)
    finally:
        client.close()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""A controller that polls, by pymodbus, an implementation that is not ours.

    polling-controller.py KIND HOST PORT CYCLE_MS TIMEOUT_MS TRIES SECONDS REQUEST...

KIND is tcp, or ascii for a serial line in ASCII mode; HOST and PORT are then the device and its baud.
A REQUEST is EVERY:UNIT:FUNCTION:ADDRESS:COUNT[:NUMBER...], all in decimal, asked in each EVERYth cycle. It is
tried TRIES times where no answer comes. Functions 1 to 4 read, 15 and 16 write COUNT numbers.
After SECONDS it ends with exit code 0, whatever was answered; 1: no connection. Arguments are those of polling-controller.c.
Written for pymodbus 3.0, as Debian 12 has it.
"""

import logging
import sys
import time

from pymodbus.client import ModbusSerialClient, ModbusTcpClient
from pymodbus.exceptions import ModbusException
from pymodbus.framer.ascii_framer import ModbusAsciiFramer

# What goes wrong here is what the test wants to see from the other side.
logging.disable(logging.CRITICAL)


def ask(client, unit, function, address, count, numbers):
    """True where any answer came, an exception too."""
    requests = {
        1: lambda: client.read_coils(address, count, slave=unit),
        2: lambda: client.read_discrete_inputs(address, count, slave=unit),
        3: lambda: client.read_holding_registers(address, count, slave=unit),
        4: lambda: client.read_input_registers(address, count, slave=unit),
        15: lambda: client.write_coils(address, [number != 0 for number in numbers], slave=unit),
        16: lambda: client.write_registers(address, numbers, slave=unit),
    }
    try:
        answer = requests[function]()
        return not isinstance(answer, ModbusException)
    except (ModbusException, OSError):
        return False


def main():
    kind, host, port, cycle_ms, timeout_ms, tries, seconds = sys.argv[1:8]
    requests = [[int(number) for number in text.split(":")] for text in sys.argv[8:]]
    if kind == "tcp":
        client = ModbusTcpClient(host, port=int(port), timeout=1, retries=0)
    else:
        client = ModbusSerialClient(
            host, framer=ModbusAsciiFramer, baudrate=int(port), timeout=1, retries=0
        )
    if not client.connect():
        sys.exit(1)
    # Its own argument takes whole seconds only.
    client.params.timeout = int(timeout_ms) / 1000
    if kind == "tcp":
        client.socket.settimeout(client.params.timeout)
    began = time.monotonic()
    cycle = 0
    while time.monotonic() - began < float(seconds):
        due = time.monotonic() + int(cycle_ms) / 1000
        for every, unit, function, address, count, *numbers in requests:
            if cycle % every != 0:
                continue
            for _ in range(int(tries)):
                if ask(client, unit, function, address, count, numbers):
                    break
        cycle += 1
        time.sleep(max(0, due - time.monotonic()))
    client.close()


main()

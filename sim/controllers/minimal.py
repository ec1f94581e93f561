#!/usr/bin/env python3
"""A sound controller in Python, standard library only: lines in, lines out.

Run it with: leakbench drill FILE --controller "exec:python3 sim/controllers/minimal.py"
"""
import json
import os
import sys

STORE = os.path.join(os.environ.get("LEAKBENCH_STATE_DIR", "."), "kept-py.json")


class Sensor:
    """What one sensor has shown since this controller has had power."""

    def __init__(self, plan, policy):
        self.plan, self.policy = plan, policy
        self.last = None  # the last answer that was more than warming up
        self.passed = False
        self.waiting_since = None  # asked, and the answer that is due has not come
        self.counter_since = None
        self.frozen = False  # answers came, and the counter in them stood still
        self.smelled = False  # gas, by state, bit, number or contact, and not clear since
        self.contradicts = False

    def hear(self, told, t):
        if not told["answered"]:
            self.wait(t)
        elif self.plan["kind"] == "contact":
            self.last, self.passed, self.waiting_since = told, True, None
            self.smelled = told["closed"] == (self.plan["contact"] == "closes-on-gas")
        elif told["state"] == "warming-up":
            self.passed = False
            if self.last is None and not self.silent(t):
                self.waiting_since = None
            else:
                self.wait(t)
        else:
            self.measure(told, t)

    def wait(self, t):
        if self.waiting_since is None:
            self.waiting_since = t

    def silent(self, t):
        return self.waiting_since is not None and t - self.waiting_since >= self.policy["silentAfterMs"]

    def measure(self, told, t):
        number = told["gasPercentLfl"]
        says_gas = told["state"] == "gas" or told["gasBit"]
        if number is not None and number < self.policy["clearBelowPercentLfl"]:
            self.smelled = self.contradicts = False
        elif number is not None and number >= self.policy["setpointPercentLfl"]:
            self.contradicts = not says_gas
        if says_gas:
            self.smelled, self.contradicts = True, False
        moved = self.last is None or self.last["counter"] != told["counter"]
        if moved or told["state"] == "failed":
            self.counter_since = t
        rests = t - self.counter_since >= self.policy["silentAfterMs"]
        self.frozen = told["counter"] is not None and rests
        self.last, self.passed = told, told["selfTestPassed"]
        if self.passed:
            self.waiting_since = None

    def alarms(self):
        return self.smelled or self.contradicts

    def troubles(self, t):
        """Everything else that makes it worth nothing."""
        if self.silent(t):
            return True
        if self.plan["kind"] == "contact" or self.last is None:
            return False
        told, serial = self.last, self.plan["serial"]
        strange = None not in (serial, told["serial"]) and told["serial"] != serial
        return self.frozen or strange or told["state"] == "failed" or told["gasPercentLfl"] is None

    def well(self, t):
        if self.alarms() or self.troubles(t) or not self.passed:
            return False
        clear = self.policy["clearBelowPercentLfl"]
        return self.plan["kind"] == "contact" or self.last["gasPercentLfl"] < clear


class Controller:
    def __init__(self, plan, kept):
        self.policy, self.circuits = plan["policy"], plan["circuits"]
        self.sensors = {s["id"]: Sensor(s, self.policy) for s in plan["sensors"]}
        # Nobody knows when a compressor stopped that ran before a cut: its time off begins now.
        self.off_since = dict.fromkeys(self.circuits, None if kept else -1e18)
        self.kept = kept or {"mitigating": False, "counted": False, "trips": [], "locked": False}
        self.well_since = self.airless_since = None
        self.last = {"fan": False, "heat": False, "compressors": dict.fromkeys(self.circuits, False)}
        self.button = True  # found pressed, it may be taped

    def cycle(self, told):
        t, policy, kept = told["t"], self.policy, self.kept
        for name, sensor in self.sensors.items():
            sensor.hear(told["sensors"][name], t)
        alarm = any(sensor.alarms() for sensor in self.sensors.values())
        trouble = any(sensor.troubles(t) for sensor in self.sensors.values())
        well = all(sensor.well(t) for sensor in self.sensors.values())
        if not (well and told["airflowProven"]):
            self.well_since = None
        elif self.well_since is None:
            self.well_since = t
        held = self.well_since is not None and t - self.well_since >= policy["holdMs"]
        kept["mitigating"] = alarm or trouble or (kept["mitigating"] and not held)
        self.count_trips(t, alarm, told["serviceReset"] and not self.button and not (alarm or trouble))
        self.button = told["serviceReset"]

        if told["airflowProven"] or not self.last["fan"]:
            self.airless_since = None
        elif self.airless_since is None:
            self.airless_since = t
        airless = self.airless_since is not None and t - self.airless_since >= policy["fanProofWithinMs"]
        stopped = kept["mitigating"] or kept["locked"] or airless or told["fire"]
        stopped = stopped or not all(sensor.passed for sensor in self.sensors.values())
        self.last = self.command(told, stopped)
        self.last.update(alarm=alarm or told["fire"], trouble=trouble or airless)
        return self.last

    def count_trips(self, t, alarm, reset):
        kept, trips = self.kept, self.policy["latchTrips"]
        if not kept["mitigating"]:
            kept["counted"] = False
        if kept["locked"] and reset:
            kept.update(locked=False, trips=[])
        if trips is None:
            return
        kept["trips"] = [at for at in kept["trips"] if t - at <= self.policy["latchWithinMs"]]
        if alarm and not kept["counted"]:
            kept["counted"] = True
            kept["trips"].append(t)
            kept["locked"] = kept["locked"] or len(kept["trips"]) >= trips

    def command(self, told, stopped):
        t, calls, before = told["t"], told["calls"], self.last
        air = told["airflowProven"]
        compressors = {}
        for circuit in self.circuits:
            ran = before["compressors"][circuit]
            if self.off_since[circuit] is None:
                self.off_since[circuit] = t
            rested = t - self.off_since[circuit] >= self.policy["compressorMinOffMs"]
            compressors[circuit] = calls["cooling"] and not stopped and (ran or (rested and air))
            if ran and not compressors[circuit]:
                self.off_since[circuit] = t
        fan = not told["fire"] and (self.kept["mitigating"] or self.kept["locked"] or any(calls.values()))
        heat = calls["heating"] and not stopped and (before["heat"] or air)
        return {"fan": fan, "damper": fan, "heat": heat, "compressors": compressors}


def load(locks_out):
    try:
        with open(STORE, encoding="utf-8") as file:
            return json.load(file)
    except FileNotFoundError:
        return None
    except ValueError:  # half a file may have been anything
        return {"mitigating": True, "counted": False, "trips": [], "locked": locks_out}


def store(kept):
    """Beside it first, then in its place: a cut leaves the old or the new, never half."""
    with open(STORE + ".new", "w", encoding="utf-8") as file:
        json.dump(kept, file)
        file.flush()
        os.fsync(file.fileno())
    os.replace(STORE + ".new", STORE)


def main():
    controller, stored = None, None
    for line in sys.stdin:
        message = json.loads(line)
        if message.get("reset"):
            controller = Controller(message, load(message["policy"]["latchTrips"] is not None))
            answer = {"ready": True}
        else:
            answer = controller.cycle(message)
            if controller.kept != stored:
                store(controller.kept)
                stored = json.loads(json.dumps(controller.kept))
        print(json.dumps(answer), flush=True)


main()

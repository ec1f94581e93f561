/*
 * One client on a serial line, by libmodbus: asks unit 11 for input registers 0 to 7, one request after the
 * other, for so long.
 *
 *   libmodbus-serial-load DEVICE BAUD MS
 *
 * Prints answers a second. Exit: 0 measured, 1 an answer was missing or wrong, 2 bad usage.
 */
#define _POSIX_C_SOURCE 200809L

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include <modbus.h>

#define UNIT 11
#define REGISTERS 8

static double now_ms(void) {
  struct timespec now;
  clock_gettime(CLOCK_MONOTONIC, &now);
  return (double)now.tv_sec * 1e3 + (double)now.tv_nsec / 1e6;
}

int main(int argc, char **argv) {
  if (argc != 4) return 2;
  modbus_t *bus = modbus_new_rtu(argv[1], atoi(argv[2]), 'E', 8, 1);
  if (bus == NULL || modbus_set_slave(bus, UNIT) != 0 || modbus_connect(bus) != 0) {
    fprintf(stderr, "no connection: %s\n", modbus_strerror(errno));
    return 1;
  }
  uint16_t words[REGISTERS];
  double began = now_ms();
  double end = began + atof(argv[3]);
  int answers = 0;
  while (now_ms() < end) {
    if (modbus_read_input_registers(bus, 0, REGISTERS, words) != REGISTERS) {
      fprintf(stderr, "after %d answers: %s\n", answers, modbus_strerror(errno));
      return 1;
    }
    answers += 1;
  }
  printf("%.1f\n", answers / (now_ms() - began) * 1e3);
  modbus_close(bus);
  modbus_free(bus);
  return 0;
}

/*
 * One Modbus TCP request by libmodbus, an implementation that is not ours.
 *
 *   libmodbus-client HOST PORT UNIT FUNCTION ADDRESS COUNT [VALUE...]
 *
 * FUNCTION in decimal: 1 to 4 read COUNT values, 5 and 6 write one VALUE, 15 and 16 write COUNT of them.
 * Prints one JSON line: {"values":[...]} as read or written, {"exception":CODE}, or {"error":"..."} when no
 * answer that libmodbus accepts came. Exit: 0 answered (an exception is an answer), 1 error, 2 bad usage.
 */
#include <errno.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#include <modbus.h>

/* No request reads or writes more values than this (MB-APP 6.1). */
#define VALUES_MAX 2000

static int is_bit_function(int function) {
  return function == 1 || function == 2 || function == 5 || function == 15;
}

static int request(modbus_t *bus, int function, int address, int count, uint8_t *bits, uint16_t *words) {
  switch (function) {
    case 1: return modbus_read_bits(bus, address, count, bits);
    case 2: return modbus_read_input_bits(bus, address, count, bits);
    case 3: return modbus_read_registers(bus, address, count, words);
    case 4: return modbus_read_input_registers(bus, address, count, words);
    case 5: return modbus_write_bit(bus, address, bits[0]);
    case 6: return modbus_write_register(bus, address, words[0]);
    case 15: return modbus_write_bits(bus, address, count, bits);
    default: return modbus_write_registers(bus, address, count, words);
  }
}

static int print_failure(int code) {
  int exception = code - MODBUS_ENOBASE;
  if (exception >= 1 && exception < MODBUS_EXCEPTION_MAX) {
    printf("{\"exception\":%d}\n", exception);
    return 0;
  }
  printf("{\"error\":\"%s\"}\n", modbus_strerror(code));
  return 1;
}

static void print_values(int function, int count, const uint8_t *bits, const uint16_t *words) {
  printf("{\"values\":[");
  for (int at = 0; at < count; at += 1) {
    printf("%s%d", at == 0 ? "" : ",", is_bit_function(function) ? bits[at] : words[at]);
  }
  printf("]}\n");
}

int main(int argc, char **argv) {
  static uint8_t bits[VALUES_MAX];
  static uint16_t words[VALUES_MAX];
  int function = argc > 4 ? atoi(argv[4]) : 0;
  int count = argc > 6 ? atoi(argv[6]) : 0;
  int known = (function >= 1 && function <= 6) || function == 15 || function == 16;
  int values_given = argc - 7;
  if (argc < 7 || !known || count < 1 || count > VALUES_MAX || (function > 4 && values_given != count)) {
    fprintf(stderr, "usage: libmodbus-client HOST PORT UNIT FUNCTION ADDRESS COUNT [VALUE...]\n");
    return 2;
  }
  for (int at = 0; function > 4 && at < count; at += 1) {
    bits[at] = atoi(argv[7 + at]) != 0;
    words[at] = (uint16_t)atoi(argv[7 + at]);
  }

  modbus_t *bus = modbus_new_tcp(argv[1], atoi(argv[2]));
  if (bus == NULL || modbus_set_slave(bus, atoi(argv[3])) != 0 || modbus_connect(bus) != 0) {
    int failed = print_failure(errno);
    modbus_free(bus);
    return failed;
  }
  int exit_code = 0;
  if (request(bus, function, atoi(argv[5]), count, bits, words) < 0) {
    exit_code = print_failure(errno);
  } else {
    print_values(function, count, bits, words);
  }
  modbus_close(bus);
  modbus_free(bus);
  return exit_code;
}

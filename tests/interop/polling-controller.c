/*
 * A controller that polls, by libmodbus, an implementation that is not ours.
 *
 *   polling-controller KIND HOST PORT CYCLE_MS TIMEOUT_MS TRIES SECONDS REQUEST...
 *
 * KIND is tcp. A REQUEST is EVERY:UNIT:FUNCTION:ADDRESS:COUNT[:NUMBER...], all in decimal, asked in each EVERYth
 * cycle. It is tried TRIES times where no answer comes. Functions 1 to 4 read, 15 and 16 write COUNT numbers.
 * After SECONDS it ends with exit code 0, whatever was answered. Exit: 1 no connection, 2 bad usage.
 */
/* For the clock, which C itself does not have. */
#define _POSIX_C_SOURCE 199309L

#include <errno.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include <modbus.h>

#define NUMBERS_MAX 125
#define REQUESTS_MAX 32
#define REQUESTS_AT 8

struct request {
  int every, unit, function, address, count;
  uint8_t bits[NUMBERS_MAX];
  uint16_t words[NUMBERS_MAX];
};

static double now_s(void) {
  struct timespec now;
  clock_gettime(CLOCK_MONOTONIC, &now);
  return (double)now.tv_sec + (double)now.tv_nsec / 1e9;
}

static void sleep_s(double seconds) {
  struct timespec time = {(time_t)seconds, (long)((seconds - (double)(time_t)seconds) * 1e9)};
  if (seconds > 0) nanosleep(&time, NULL);
}

static int parse(const char *text, struct request *asked) {
  int *fields[] = {&asked->every, &asked->unit, &asked->function, &asked->address, &asked->count};
  int at = 0;
  memset(asked, 0, sizeof *asked);
  for (const char *rest = text; rest != NULL; rest = strchr(rest, ':'), at += 1) {
    if (*rest == ':') rest += 1;
    int number = atoi(rest);
    if (at < 5) {
      *fields[at] = number;
    } else if (at - 5 < NUMBERS_MAX) {
      asked->bits[at - 5] = (uint8_t)(number != 0);
      asked->words[at - 5] = (uint16_t)number;
    }
  }
  return at >= 5 && asked->every > 0 && asked->count <= NUMBERS_MAX;
}

static int ask(modbus_t *bus, const struct request *asked) {
  uint8_t bits[NUMBERS_MAX];
  uint16_t words[NUMBERS_MAX];
  modbus_set_slave(bus, asked->unit);
  switch (asked->function) {
  case 1: return modbus_read_bits(bus, asked->address, asked->count, bits);
  case 2: return modbus_read_input_bits(bus, asked->address, asked->count, bits);
  case 3: return modbus_read_registers(bus, asked->address, asked->count, words);
  case 4: return modbus_read_input_registers(bus, asked->address, asked->count, words);
  case 15: return modbus_write_bits(bus, asked->address, asked->count, asked->bits);
  case 16: return modbus_write_registers(bus, asked->address, asked->count, asked->words);
  default: exit(2);
  }
}

/* An exception of the device is an answer too; libmodbus gives it a number of its own. */
static int is_answer(int result) { return result >= 0 || (errno >= EMBXILFUN && errno <= EMBXGTAR); }

static void poll_once(modbus_t *bus, const struct request *asked, int tries) {
  for (int left = tries; left > 0; left -= 1) {
    if (is_answer(ask(bus, asked))) return;
    /* What comes too late for one request must not answer the next. */
    modbus_flush(bus);
  }
}

int main(int argc, char **argv) {
  static struct request requests[REQUESTS_MAX];
  int count = argc - REQUESTS_AT;
  if (count < 1 || count > REQUESTS_MAX || strcmp(argv[1], "tcp") != 0) return 2;
  double cycle_s = atoi(argv[4]) / 1000.0;
  int timeout_ms = atoi(argv[5]);
  double end_s = now_s() + atof(argv[7]);
  for (int at = 0; at < count; at += 1) {
    if (!parse(argv[REQUESTS_AT + at], &requests[at])) return 2;
  }
  modbus_t *bus = modbus_new_tcp(argv[2], atoi(argv[3]));
  modbus_set_response_timeout(bus, (uint32_t)timeout_ms / 1000, (uint32_t)(timeout_ms % 1000) * 1000);
  if (modbus_connect(bus) != 0) return 1;
  for (int cycle = 0; now_s() < end_s; cycle += 1) {
    double due_s = now_s() + cycle_s;
    for (int at = 0; at < count; at += 1) {
      if (cycle % requests[at].every == 0) poll_once(bus, &requests[at], atoi(argv[6]));
    }
    sleep_s(due_s - now_s());
  }
  modbus_close(bus);
  modbus_free(bus);
  return 0;
}

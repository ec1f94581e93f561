/*
 * Modbus requests by libmodbus, an implementation that is not ours.
 *
 *   libmodbus-client tcp HOST PORT
 *   libmodbus-client rtu DEVICE BAUD PARITY STOP_BITS      (PARITY: none, even or odd)
 *
 * Reads requests from standard input, one a line, and asks them one after another over one connection:
 *
 *   UNIT FUNCTION ADDRESS COUNT [NUMBER...]
 *
 * FUNCTION in decimal. 1 to 4 read COUNT values. 5 and 6 write one NUMBER, 15 and 16 write COUNT of them.
 * 22 writes through the masks AND and OR, COUNT is 1. 23 reads COUNT registers after it has written: the
 * first NUMBER is where, the others are what. 43 asks what the device is: ADDRESS is the object to begin with,
 * COUNT the read code.
 *
 * Prints one JSON line for each: {"values":[...]} as read or written, {"objects":{"0":"text",...}},
 * {"exception":CODE}, or {"error":"..."} when no answer that libmodbus accepts came.
 * Exit: 0 every request was asked, 1 no connection, 2 bad usage.
 *
 * libmodbus has no RTU over TCP. It can send function 43 only as raw bytes and does not know how long the
 * answer is, so that answer is read and taken apart here.
 */
#include <errno.h>
#include <poll.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <modbus.h>

/* No request reads or writes more values than this (MB-APP 6.1). */
#define VALUES_MAX 2000
#define LINE_MAX_BYTES 16384

#define READ_WRITE 23
#define MASK_WRITE 22
#define IDENTIFY 43
#define IDENTIFY_INTERFACE 14

/* libmodbus itself waits so long for the first byte; then silence tells that the answer is whole. */
#define FIRST_BYTE_MS 500
#define SILENCE_MS 50

struct request {
  int unit;
  int function;
  int address;
  int count;
  int numbers;
  uint8_t bits[VALUES_MAX];
  uint16_t words[VALUES_MAX];
};

static int is_bit_function(int function) {
  return function == 1 || function == 2 || function == 5 || function == 15;
}

/* How many numbers follow in a request; -1 where the function is not spoken here. */
static int numbers_of(const struct request *asked) {
  switch (asked->function) {
    case 1: case 2: case 3: case 4: case IDENTIFY: return 0;
    case 5: case 6: return 1;
    case 15: case 16: return asked->count;
    case MASK_WRITE: return 2;
    case READ_WRITE: return asked->numbers > 1 ? asked->numbers : -1;
    default: return -1;
  }
}

static int parse(char *line, struct request *asked) {
  int fields[4] = {0};
  int at = 0;
  for (char *word = strtok(line, " \n"); word != NULL; word = strtok(NULL, " \n"), at += 1) {
    if (at >= 4 + VALUES_MAX) return 0;
    int value = atoi(word);
    if (at < 4) {
      fields[at] = value;
    } else {
      asked->bits[at - 4] = value != 0;
      asked->words[at - 4] = (uint16_t)value;
    }
  }
  asked->unit = fields[0];
  asked->function = fields[1];
  asked->address = fields[2];
  asked->count = fields[3];
  asked->numbers = at - 4;
  int sound = at >= 4 && asked->count >= 1 && asked->count <= VALUES_MAX;
  return sound && numbers_of(asked) == asked->numbers;
}

static int ask(modbus_t *bus, struct request *asked) {
  int address = asked->address;
  int count = asked->count;
  uint16_t *words = asked->words;
  switch (asked->function) {
    case 1: return modbus_read_bits(bus, address, count, asked->bits);
    case 2: return modbus_read_input_bits(bus, address, count, asked->bits);
    case 3: return modbus_read_registers(bus, address, count, words);
    case 4: return modbus_read_input_registers(bus, address, count, words);
    case 5: return modbus_write_bit(bus, address, asked->bits[0]);
    case 6: return modbus_write_register(bus, address, words[0]);
    case 15: return modbus_write_bits(bus, address, count, asked->bits);
    case 16: return modbus_write_registers(bus, address, count, words);
    case MASK_WRITE: return modbus_mask_write_register(bus, address, words[0], words[1]);
    default: {
      uint16_t written[VALUES_MAX];
      memcpy(written, words + 1, sizeof(uint16_t) * (size_t)(asked->numbers - 1));
      return modbus_write_and_read_registers(bus, words[0], asked->numbers - 1, written, address, count, words);
    }
  }
}

static void print_failure(int code) {
  int exception = code - MODBUS_ENOBASE;
  if (exception >= 1 && exception < MODBUS_EXCEPTION_MAX) {
    printf("{\"exception\":%d}\n", exception);
  } else {
    printf("{\"error\":\"%s\"}\n", modbus_strerror(code));
  }
}

static void print_values(const struct request *asked) {
  int count = asked->function == MASK_WRITE ? 2 : asked->count;
  printf("{\"values\":[");
  for (int at = 0; at < count; at += 1) {
    int value = is_bit_function(asked->function) ? asked->bits[at] : asked->words[at];
    printf("%s%d", at == 0 ? "" : ",", value);
  }
  printf("]}\n");
}

/* All that comes until the line is silent; its number of bytes. */
static int read_answer(int descriptor, uint8_t *into, int room) {
  struct pollfd waiting = {.fd = descriptor, .events = POLLIN};
  int bytes = 0;
  while (bytes < room && poll(&waiting, 1, bytes == 0 ? FIRST_BYTE_MS : SILENCE_MS) > 0) {
    int more = (int)read(descriptor, into + bytes, (size_t)(room - bytes));
    if (more <= 0) break;
    bytes += more;
  }
  return bytes;
}

/* Bit by bit from its definition (MB-SER 6.2.2); libmodbus does not lend its own. */
static int has_right_checksum(const uint8_t *frame, int bytes) {
  unsigned crc = 0xffff;
  for (int at = 0; at < bytes; at += 1) {
    crc ^= frame[at];
    for (int bit = 0; bit < 8; bit += 1) crc = crc & 1 ? (crc >> 1) ^ 0xa001 : crc >> 1;
  }
  return crc == 0;
}

/* Function, interface, read code, level, more follows, next object, number of objects; then the objects. */
static void print_objects(const uint8_t *pdu, int bytes) {
  int sound = bytes > 6 && pdu[1] == IDENTIFY_INTERFACE;
  int at = 7;
  for (int left = sound ? pdu[6] : 0; left > 0 && sound; left -= 1) {
    sound = at + 1 < bytes && at + 2 + pdu[at + 1] <= bytes;
    if (sound) at += 2 + pdu[at + 1];
  }
  if (!sound || at != bytes) {
    printf("{\"error\":\"objects that do not fit the answer\"}\n");
    return;
  }
  printf("{\"objects\":{");
  at = 7;
  for (int left = pdu[6]; left > 0; left -= 1) {
    printf("%s\"%d\":\"%.*s\"", at == 7 ? "" : ",", pdu[at], pdu[at + 1], (const char *)pdu + at + 2);
    at += 2 + pdu[at + 1];
  }
  printf("}}\n");
}

static void identify(modbus_t *bus, const struct request *asked, int over_tcp) {
  uint8_t raw[] = {(uint8_t)asked->unit, IDENTIFY, IDENTIFY_INTERFACE, (uint8_t)asked->count,
                   (uint8_t)asked->address};
  uint8_t answer[MODBUS_TCP_MAX_ADU_LENGTH];
  int before = modbus_get_header_length(bus);
  int after = over_tcp ? 0 : 2;
  if (modbus_send_raw_request(bus, raw, sizeof raw) < 0) {
    print_failure(errno);
    return;
  }
  int bytes = read_answer(modbus_get_socket(bus), answer, sizeof answer);
  const uint8_t *pdu = answer + before;
  int pdu_bytes = bytes - before - after;
  if (pdu_bytes < 2 || answer[before - 1] != asked->unit) {
    print_failure(bytes == 0 ? ETIMEDOUT : EMBBADDATA);
  } else if (over_tcp ? (answer[4] << 8 | answer[5]) != bytes - 6 : !has_right_checksum(answer, bytes)) {
    print_failure(over_tcp ? EMBBADDATA : EMBBADCRC);
  } else if (pdu[0] == (IDENTIFY | 0x80)) {
    printf("{\"exception\":%d}\n", pdu[1]);
  } else if (pdu[0] == IDENTIFY) {
    print_objects(pdu, pdu_bytes);
  } else {
    print_failure(EMBBADDATA);
  }
}

static modbus_t *bus_of(int argc, char **argv) {
  if (argc == 4 && strcmp(argv[1], "tcp") == 0) return modbus_new_tcp(argv[2], atoi(argv[3]));
  if (argc != 6 || strcmp(argv[1], "rtu") != 0) return NULL;
  char parity = argv[4][0] == 'n' ? 'N' : argv[4][0] == 'e' ? 'E' : 'O';
  return modbus_new_rtu(argv[2], atoi(argv[3]), parity, 8, atoi(argv[5]));
}

int main(int argc, char **argv) {
  static char line[LINE_MAX_BYTES];
  static struct request asked;
  modbus_t *bus = bus_of(argc, argv);
  if (bus == NULL) {
    fprintf(stderr, "usage: libmodbus-client tcp HOST PORT | rtu DEVICE BAUD PARITY STOP_BITS\n");
    return 2;
  }
  if (modbus_connect(bus) != 0) {
    fprintf(stderr, "no connection: %s\n", modbus_strerror(errno));
    return 1;
  }
  int over_tcp = strcmp(argv[1], "tcp") == 0;
  while (fgets(line, sizeof line, stdin) != NULL) {
    if (!parse(line, &asked) || modbus_set_slave(bus, asked.unit) != 0) {
      fprintf(stderr, "not a request: UNIT FUNCTION ADDRESS COUNT [NUMBER...]\n");
      return 2;
    }
    if (asked.function == IDENTIFY) identify(bus, &asked, over_tcp);
    else if (ask(bus, &asked) < 0) print_failure(errno);
    else print_values(&asked);
    /* What came too late for one request must not answer the next. */
    modbus_flush(bus);
    fflush(stdout);
  }
  modbus_close(bus);
  modbus_free(bus);
  return 0;
}

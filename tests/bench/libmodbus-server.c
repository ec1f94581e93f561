/*
 * A Modbus TCP server on libmodbus, as its manual has it: one thread, select, receive, reply.
 *
 *   libmodbus-server HOST
 *
 * Takes a free port and prints it. Input registers 0 to 18 hold their address times 3, whatever the unit.
 */
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <stdio.h>
#include <sys/select.h>
#include <sys/socket.h>
#include <unistd.h>

#include <modbus.h>

#define REGISTERS 19
#define CLIENTS_MAX 64

static int port_of(int descriptor) {
  struct sockaddr_in bound;
  socklen_t length = sizeof bound;
  if (getsockname(descriptor, (struct sockaddr *)&bound, &length) != 0) return -1;
  return ntohs(bound.sin_port);
}

/* Without this every second answer of a pipelined run would wait for an acknowledgement. */
static void answer_at_once(int descriptor) {
  int on = 1;
  setsockopt(descriptor, IPPROTO_TCP, TCP_NODELAY, &on, sizeof on);
}

int main(int argc, char **argv) {
  if (argc != 2) return 2;
  modbus_t *bus = modbus_new_tcp(argv[1], 0);
  modbus_mapping_t *map = modbus_mapping_new(0, 0, 0, REGISTERS);
  if (bus == NULL || map == NULL) return 1;
  for (int at = 0; at < REGISTERS; at += 1) map->tab_input_registers[at] = (uint16_t)(3 * at);
  int listening = modbus_tcp_listen(bus, CLIENTS_MAX);
  if (listening < 0) return 1;
  printf("%d\n", port_of(listening));
  fflush(stdout);

  fd_set open;
  FD_ZERO(&open);
  FD_SET(listening, &open);
  int highest = listening;
  for (;;) {
    fd_set ready = open;
    if (select(highest + 1, &ready, NULL, NULL, NULL) < 0) return 1;
    for (int descriptor = 0; descriptor <= highest; descriptor += 1) {
      if (!FD_ISSET(descriptor, &ready)) continue;
      if (descriptor == listening) {
        int client = accept(listening, NULL, NULL);
        if (client < 0) continue;
        answer_at_once(client);
        FD_SET(client, &open);
        if (client > highest) highest = client;
        continue;
      }
      uint8_t request[MODBUS_TCP_MAX_ADU_LENGTH];
      modbus_set_socket(bus, descriptor);
      int bytes = modbus_receive(bus, request);
      if (bytes > 0) {
        modbus_reply(bus, request, bytes, map);
      } else if (bytes < 0) {
        close(descriptor);
        FD_CLR(descriptor, &open);
      }
    }
  }
}

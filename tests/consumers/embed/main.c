#include <offnominal/offnominal.h>
#include <string.h>

#include "three_ton.h"

int main(void) {
    offnominal_system* system = NULL;
    offnominal_error error;
    unsigned char damaged[sizeof three_ton_bytes];
    int failed = 0;
    error.struct_size = sizeof error;
    if (offnominal_system_from_bytes(three_ton_bytes, sizeof three_ton_bytes, &system, &error) != OFFNOMINAL_OK) return 1;
    if (strcmp(offnominal_system_name(system), "Alder three-ton, invented") != 0) failed = 2;
    offnominal_system_free(system);
    memcpy(damaged, three_ton_bytes, sizeof damaged);
    damaged[100] ^= 1;
    if (offnominal_system_from_bytes(damaged, sizeof damaged, &system, &error) != OFFNOMINAL_INPUT) failed = 3;
    if (system != NULL) failed = 4;
    return failed;
}

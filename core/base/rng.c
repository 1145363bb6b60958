/* Philox 4x32-10: ten rounds of two 32-bit multiplications. Constants and order of operations as in Salmon,
 * Moraes, Dror and Shaw, "Parallel random numbers: as easy as 1, 2, 3", SC11 (2011), checked against their
 * published known answers in tests/published/base.csv. */
#include "tufa/base.h"

enum { ROUNDS = 10 };
static const uint32_t MUL_0 = 0xD2511F53u, MUL_1 = 0xCD9E8D57u;
static const uint32_t WEYL_0 = 0x9E3779B9u, WEYL_1 = 0xBB67AE85u;

void tufa_philox(uint64_t key, uint64_t stream, uint64_t index, uint32_t out[4])
{
    uint32_t c0 = (uint32_t)index, c1 = (uint32_t)(index >> 32);
    uint32_t c2 = (uint32_t)stream, c3 = (uint32_t)(stream >> 32);
    uint32_t k0 = (uint32_t)key, k1 = (uint32_t)(key >> 32);
    for (int i = 0; i < ROUNDS; i++) {
        uint64_t p0 = (uint64_t)MUL_0 * c0, p1 = (uint64_t)MUL_1 * c2;
        uint32_t n0 = (uint32_t)(p1 >> 32) ^ c1 ^ k0, n2 = (uint32_t)(p0 >> 32) ^ c3 ^ k1;
        c1 = (uint32_t)p1;
        c3 = (uint32_t)p0;
        c0 = n0;
        c2 = n2;
        k0 += WEYL_0;
        k1 += WEYL_1;
    }
    out[0] = c0;
    out[1] = c1;
    out[2] = c2;
    out[3] = c3;
}

double tufa_uniform(uint64_t key, uint64_t stream, uint64_t index)
{
    uint32_t w[4];
    tufa_philox(key, stream, index, w);
    uint64_t bits = ((uint64_t)w[1] << 32 | w[0]) >> 12; /* 52 bits, centred: never 0, never 1 */
    return ((double)bits + 0.5) * 0x1p-52;
}

double tufa_normal(uint64_t key, uint64_t stream, uint64_t index)
{
    return tufa_normal_quantile(tufa_uniform(key, stream, index));
}

/* Function clones for wider vectors, chosen when the program is loaded. Wherever they are not to be had (other
 * compilers and processors, sanitizers) the plain function stands; results are the same to the last bit. The short ones
 * are for short loops over what single numbers were just written into: there 512 bits wait longer than they win. */
#ifndef CORE_BASE_CLONES_H
#define CORE_BASE_CLONES_H

#if defined(__GNUC__) && !defined(__clang__) && defined(__x86_64__) && !defined(TUFA_NO_CLONES)
#define VECTOR_CLONES __attribute__((target_clones("default", "arch=x86-64-v3", "arch=x86-64-v4")))
#define SHORT_VECTOR_CLONES __attribute__((target_clones("default", "arch=x86-64-v3")))
#else
#define VECTOR_CLONES
#define SHORT_VECTOR_CLONES
#endif

#if defined(__GNUC__)
#define ALWAYS_INLINE static inline __attribute__((always_inline))
#else
#define ALWAYS_INLINE static inline
#endif

#endif

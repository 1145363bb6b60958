/* embed HEADER ARRAY FILE...: prints C with each file as text that ends with 0, in the order given, as rows of ARRAY
 * and their number as ARRAY_COUNT, both declared in HEADER. See edge/say/embedded.h. */
#include <stdio.h>
#include <string.h>

static const char *base_of(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

/* As an array of numbers: string literals have a length that compilers need not exceed. */
static int one(const char *path, int number)
{
    enum { A_LINE = 24 };
    FILE *f = fopen(path, "rb");
    if (!f) {
        fprintf(stderr, "embed: cannot read %s\n", path);
        return 1;
    }
    printf("static const char file_%d[] = {", number);
    int c, n = 0;
    while ((c = getc(f)) != EOF) printf("%s%d,", n++ % A_LINE ? "" : "\n    ", c < 128 ? c : c - 256);
    printf("0};\n");
    return fclose(f) != 0;
}

int main(int argc, char **argv)
{
    if (argc < 3) return 2;
    printf("/* Made by tools/embed.c. */\n#include \"%s\"\n\n", argv[1]);
    for (int i = 3; i < argc; i++)
        if (one(argv[i], i)) return 1;
    printf("\nconst embedded_file %s[] = {\n", argv[2]);
    for (int i = 3; i < argc; i++) printf("    {\"%s\", file_%d},\n", base_of(argv[i]), i);
    printf("};\nconst size_t %s_COUNT = sizeof %s / sizeof %s[0];\n", argv[2], argv[2], argv[2]);
    return fflush(stdout) != 0;
}

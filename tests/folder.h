/* A folder for one test, gone after it: make_folder and remove_folder as setup and teardown of cmocka. */
#ifndef TESTS_FOLDER_H
#define TESTS_FOLDER_H

#include <stdio.h>
#include <stdlib.h>

static char folder[64], path[128]; /* the folder, and a book that may be made in it */

static int make_folder(void **state)
{
    (void)state;
    snprintf(folder, sizeof folder, "/tmp/tufa-test-XXXXXX");
    if (!mkdtemp(folder)) return -1;
    snprintf(path, sizeof path, "%s/t.book", folder);
    return 0;
}

static int remove_folder(void **state)
{
    (void)state;
    char command[160];
    snprintf(command, sizeof command, "rm -rf '%s'", folder);
    return system(command);
}

#endif

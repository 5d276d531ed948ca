/* The example as a shop file, open for writing. */
#ifndef SANDGLASS_TESTS_STORE_EXAMPLE_FILE_H
#define SANDGLASS_TESTS_STORE_EXAMPLE_FILE_H

#include "store/steps.h"

static struct sg_store *store;

static void open_example(void)
{
    enter_folder();
    make_shop("shop.db", true);
    store = open_shop("shop.db", SG_STORE_WRITE);
}

static void close_example(void)
{
    sg_store_close(store);
    leave_folder();
}

static void open_again(void)
{
    sg_store_close(store);
    store = open_shop("shop.db", SG_STORE_WRITE);
}

#endif

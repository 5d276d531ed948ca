/* How anything in sandglass says that it could not be done.
 *
 * A function that can fail returns an enum sg_status and takes a struct sg_error owned by the caller.
 * On failure it fills the error and leaves every out-parameter as it was. The numbers are the exit
 * codes of the program, so a failure travels unchanged from the core to the shell. */
#ifndef SANDGLASS_STATUS_H
#define SANDGLASS_STATUS_H

enum sg_status {
    SG_OK = 0,       /* done, or the answer is yes */
    SG_NO = 1,       /* the answer is no, or a check found something */
    SG_USAGE = 2,    /* the command was called in a wrong way */
    SG_BAD_DATA = 3, /* a value, row or file content is bad; nothing changed */
    SG_NO_FILE = 4,  /* a file is missing, unreadable or not ours */
    SG_BUSY = 5,     /* another process kept the shop file past the wait */
    SG_NO_WRITE = 6, /* could not write, or would have overwritten a file */
    SG_NEWER = 7,    /* the shop file was made by a newer version */
    SG_FAULT = 70    /* our own fault: a bug or no memory */
};

enum { SG_ERROR_SIZE = 600 };

struct sg_error {
    enum sg_status status;
    char text[SG_ERROR_SIZE]; /* one sentence for a person, UTF-8, no line break at its end */
};

/* Fill error (may be NULL) and return status, so that a caller can write `return sg_fail(...)`.
 * A text that is too long is cut at a whole UTF-8 character. */
enum sg_status sg_fail(struct sg_error *error, enum sg_status status, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

#endif

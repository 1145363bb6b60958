/* Writing HTML so that a value cannot become markup: RAW takes literals only, everything else is escaped. */
#ifndef EDGE_WEB_HTML_H
#define EDGE_WEB_HTML_H

#include "edge/say/text.h"

/* A literal, as it stands. Anything but a literal does not compile. */
#define RAW(t, literal) text_addn((t), "" literal "", sizeof(literal) - 1)

/* Text or a quoted attribute's value: & < > " ' become entities; control characters other than line ends go. */
void put_html(text *t, const char *s);
/* What another writer put into `from`, escaped; empties `from`. */
void put_html_text(text *t, text *from);
void put_int(text *t, long long n);
/* A value for a query or path segment: everything but letters, digits and -._~ is percent-encoded. */
void put_query(text *t, const char *s);

#endif

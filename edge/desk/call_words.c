#include "edge/desk/call_words.h"

#include "edge/say/day.h"

void say_call_when(text *t, const call_view *v, int64_t today)
{
    static const int64_t FEW_DAYS = 3;
    switch (call_how_soon(v)) {
    case CALL_NOW: text_add(t, "Now."); break;
    case CALL_TODAY: text_add(t, "Today."); break;
    case CALL_DAYS: text_add(t, "By "), say_day(t, today + FEW_DAYS), text_add(t, "."); break;
    case CALL_ROUND: text_add(t, "With the next round."); break;
    }
    if (v->at_risk == 1) text_add(t, " People at risk live there.");
    if (v->restore_s.basis != TUFA_BASIS_NONE) {
        text_addf(t, " The town allows %.0f hours (%s, ", v->restore_s.mid / 3600.0, v->restore_source);
        say_day(t, v->restore_day);
        text_addf(t, "); %.0f have passed.", v->waiting_hours);
    }
    if (!v->answer.stop.silent) text_addf(t, " Waiting costs about $%.2f an hour.", v->loss_usd_hour);
}

void say_call_tell(text *t, const call_view *v, size_t before)
{
    if (v->answer.stop.id) text_addf(t, "%s ", v->answer.stop.words);
    switch (call_how_soon(v)) {
    case CALL_NOW:
        if (call_danger(v) == 2) text_add(t, "Call me from outside when that is done.");
        else text_addf(t, "I am on my way%s.", before ? " after the calls before yours" : "");
        break;
    case CALL_TODAY: text_add(t, "Somebody comes today; I call again when the hour is known."); break;
    case CALL_DAYS: text_add(t, "Somebody comes within three days; I call the day before. Call at once when it gets worse."); break;
    case CALL_ROUND: text_add(t, "It is on the list for the next round. Call at once when it gets worse."); break;
    }
}

void say_call_order(text *t)
{
    text_add(t, "Danger goes first, then people at risk, then the town's time to restore hot water, then what waiting costs; each decides only where "
                "those before it are alike.");
}

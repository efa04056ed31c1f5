// Package page is the local page: what a grower sees on a telephone in the cold, and what
// one thumb can change.
//
//	loop ─ Show(Moment) after each tick ─▶ hub: the latest, an hour of trends
//	                                         │ (whoever looks waits for the next, never the loop)
//	 browser ◀─ HTML and SVG, whole ── views ┼◀─ Greenhouse: pictures and days out of the record,
//	 browser ◀─ server-sent events ── stream ┘             orders, settings, previews
//
// Everything is rendered here and works without a script. The script that there is follows
// the events, and puts what came in place of what was there; and it reads values off the
// picture under a finger. Nothing is fetched from anywhere else.
//
// Who may see and who may change is agent/page/access's business. The package knows no
// file and no clock but the moments that it is handed.
package page

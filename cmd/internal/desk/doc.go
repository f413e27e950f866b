// Package desk is the local web page of a season: the door through which trays
// are sent in from a phone, calls are confirmed, readings are entered and
// blocks are decided on.
//
// It is net/http and html/template with everything embedded; it needs no
// internet and no build step. Handlers read the request, call the workbench and
// show what it gives: no SQL, no pixels, no arithmetic on measurements.
//
// Who may do what stands in the table of routes (routes.go), not in handlers:
// on loopback the desk is the grower's; on the shed's network every device shows the
// cookie that it got when it was paired (pairing.go, access.go). Whatever the way,
// guard.go answers only requests that were sent to the desk's own address and
// come from its own pages.
package desk

// Package post carries what the workshop tells its owners out of the house: mails to a server by SMTP, and calendars as text.
package post

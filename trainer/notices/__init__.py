"""What reaches people outside the pages: the calendar that their own program fetches, and the daily e-mail.

calendar    expiries and due dates as iCalendar (RFC 5545)
digest      one person's daily digest as a message
daily       a day's digests, each sent at most once
mail        the settings, and one message at a time through SMTP
"""

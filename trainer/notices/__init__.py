"""What reaches people outside the pages: the calendar that their own program fetches, and the daily e-mail.

calendar    expiries and due dates as iCalendar (RFC 5545)
"""

"""What is given beside a verb, read: codes, days, fields, signs, lots, herb and pours."""

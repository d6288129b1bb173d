"""Circuit sheets in and out: XLSX, CSV folder or zip, JSON, to and from plan values. No Django."""

from circuits.sheets.block import Block as Block
from circuits.sheets.block import parse_block as parse_block
from circuits.sheets.csv_files import write_csv_folder as write_csv_folder
from circuits.sheets.csv_files import write_csv_zip as write_csv_zip
from circuits.sheets.json_text import write_json as write_json
from circuits.sheets.reading import read_sheet as read_sheet
from circuits.sheets.starters import STARTERS as STARTERS
from circuits.sheets.starters import load_starter as load_starter
from circuits.sheets.workbook_out import write_template_xlsx as write_template_xlsx
from circuits.sheets.workbook_out import write_xlsx as write_xlsx

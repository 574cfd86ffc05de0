// The golf cart's roof pod, in sand yellow, as somebody sends it on: 3 megapixels and
// much compressed.
#include "photo.inc"
#declare About = "invented: a golf cart's roof pod in sand yellow plastic, two bosses 7 mm high with brass inserts, a collar of 4 mm, 3 megapixels, JPEG quality 60, tilted 7 degrees";
#declare Args = "\"--hole-height\",\"7\",\"--grille-height\",\"4\"";
#declare Seed = 173;
#declare Photo_width = 2048;
#declare Photo_height = 1536;
#declare Focal_35 = 33.6;
#declare Tint = <1.02, 1, 0.95>;
#declare Full_well = 2000;
#declare Antialias = 0.02;
#declare Sharpening = 1.0;
#declare Quality = 60;
#include "panel.inc"
#include "wear.inc"

Camera(<42, 32, 0>, 294, 7, 30, 3)
Lamp(95, 44, 90, <1.0, 0.95, 0.86>*0.9)
Room_light(310, <0.93, 0.97, 1.0>*0.20)

Plastic(<0.42, 0.31, 0.12>, 0.3, 0.03)
Dusty(<0.40, 0.37, 0.32>, 0.3, 60)
Outline(array[6] {<-62, -54>, <142, -56>, <154, 40>, <112, 120>, <-22, 120>, <-62, 72>}, 16, 7)
Grille(<72, 62>, 52, 4 + Paper, 2.4)
Insert_boss(<31.4, 86.5>, 10.6, 3.3, 5.4, 7 + Paper, 9)
Insert_boss(<112.7, 37.8>, 10.6, 3.3, 5.4, 7 + Paper, 9)
Rib(<26, 90>, <2, 106>, 1.4, 5)
Rib(<118, 34>, <142, 24>, 1.4, 5)
Rib(<48, -40>, <118, -40>, 1.6, 6)

Stray_boss(<-38, 66>, 9, 4.2, 6, 8)
Stray_hole(<128, 72>, 6)
Window(<88, -22>, 14, 6, 0)
Post(<58, 6>, 5, 5)
Post(<-6, 92>, 4, 6)
Panel()

Mesh(<72, 62>, 52, 1.2, 2.2, 1.5, 15, <0.06, 0.06, 0.06>)
Cloth(<72, 62>, 52, 3.4, <0.02, 0.02, 0.02>)
Crumbs(<-58, -50>, <140, 110>, 50, 0.15, 0.8, <0.22, 0.19, 0.14>, 8)
Square(40, 60, 60, <0, 0>, 0)
Bench(13, Boards(<0.30, 0.24, 0.18>, 70))
Write_truth()
